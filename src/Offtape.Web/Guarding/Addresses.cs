namespace Offtape.Web.Guarding;

/// <summary>
/// The names this server answers to, with its port, and the origins its own pages have. Made when it starts to listen, never from a request.
/// </summary>
internal sealed class Addresses
{
    private readonly HashSet<string> _hosts;
    private readonly HashSet<string> _origins;

    public Addresses(int port)
    {
        Port = port;
        string[] names = [$"127.0.0.1:{port}", $"localhost:{port}", $"[::1]:{port}"];
        _hosts = new HashSet<string>(names, StringComparer.OrdinalIgnoreCase);
        _origins = new HashSet<string>(names.Select(n => $"http://{n}"), StringComparer.OrdinalIgnoreCase);
        Root = $"http://127.0.0.1:{port}";
    }

    public int Port { get; }

    /// <summary>The address that is told.</summary>
    public string Root { get; }

    public bool IsHost(string? host) => host is not null && _hosts.Contains(host);

    public bool IsOrigin(string? origin) => origin is not null && _origins.Contains(origin);
}
