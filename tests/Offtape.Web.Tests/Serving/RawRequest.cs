using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Text;

namespace Offtape.Web.Tests.Serving;

/// <summary>A request written byte for byte, so that no client library puts its headers right.</summary>
internal static class RawRequest
{
    internal sealed record Answer(int Status, IReadOnlyDictionary<string, string> Headers, string Body);

    public static Task<Answer> Send(int port, string method, string target, params string[] headers) =>
        Send(port, method, target, "", headers);

    public static async Task<Answer> Send(int port, string method, string target, string body, string[] headers, IPAddress? address = null)
    {
        using var client = new TcpClient((address ?? IPAddress.Loopback).AddressFamily);
        using var patience = new CancellationTokenSource(TimeSpan.FromSeconds(30));
        await client.ConnectAsync(address ?? IPAddress.Loopback, port, patience.Token);
        await using var stream = client.GetStream();
        var isUpgrade = headers.Any(h => h.StartsWith("Upgrade:", StringComparison.OrdinalIgnoreCase));
        var head = new StringBuilder($"{method} {target} HTTP/1.1\r\n");
        foreach (var header in headers)
            head.Append(header).Append("\r\n");
        if (!isUpgrade)
            head.Append("Connection: close\r\n");
        if (body.Length > 0 && !headers.Any(h => h.StartsWith("Transfer-Encoding", StringComparison.OrdinalIgnoreCase)))
            head.Append(CultureInfo.InvariantCulture, $"Content-Length: {Encoding.UTF8.GetByteCount(body)}\r\n");
        head.Append("\r\n").Append(body);
        await stream.WriteAsync(Encoding.UTF8.GetBytes(head.ToString()), patience.Token);
        var text = await Read(stream, isUpgrade, patience.Token);
        var end = text.IndexOf("\r\n\r\n", StringComparison.Ordinal);
        var lines = (end < 0 ? text : text[..end]).Split("\r\n");
        return new Answer(
            lines[0].Split(' ') is { Length: > 1 } first ? int.Parse(first[1], CultureInfo.InvariantCulture) : 0,
            lines
                .Skip(1)
                .Select(l => l.Split(": ", 2))
                .Where(p => p.Length == 2)
                .GroupBy(p => p[0], StringComparer.OrdinalIgnoreCase)
                .ToDictionary(g => g.Key, g => string.Join("\n", g.Select(p => p[1])), StringComparer.OrdinalIgnoreCase),
            end < 0 ? "" : text[(end + 4)..]
        );
    }

    private static async Task<string> Read(NetworkStream stream, bool onlyHead, CancellationToken cancellation)
    {
        using var all = new MemoryStream();
        var block = new byte[8192];
        try
        {
            for (int got; (got = await stream.ReadAsync(block, cancellation)) > 0; )
            {
                all.Write(block, 0, got);
                if (onlyHead && Encoding.UTF8.GetString(all.ToArray()).Contains("\r\n\r\n", StringComparison.Ordinal))
                    break;
            }
        }
        catch (IOException)
        {
            // Closed by the other side after it had answered.
        }
        return Encoding.UTF8.GetString(all.ToArray());
    }
}
