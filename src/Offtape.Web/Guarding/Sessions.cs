using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using Offtape.AudioFiles;
using Offtape.Base;

namespace Offtape.Web.Guarding;

/// <summary>
/// The browsers that were let in. Each holds a random secret in a cookie; this side keeps only its SHA-256, in the studio folder, so that a
/// browser that is still open is known again when the app is started anew.
/// </summary>
internal sealed class Sessions
{
    public const string FileName = "sessions.json";
    private const int ByteCount = 32;
    private const int MostSessions = 16;
    private static readonly TimeSpan Lifetime = TimeSpan.FromDays(30);
    private readonly string? _file;
    private readonly TimeProvider _clock;
    private readonly Lock _gate = new();
    private readonly List<Session> _sessions = [];

    /// <param name="file">Where the digests are kept; null: nowhere.</param>
    /// <param name="port">The cookie's name tells it: cookies are not kept apart by port.</param>
    /// <param name="clock">By which sessions end.</param>
    public Sessions(string? file, int port, TimeProvider clock)
    {
        (_file, _clock) = (file, clock);
        var kept = Load(file);
        Instance =
            kept?.Instance is { Length: 8 } instance && instance.All(char.IsAsciiHexDigitLower)
                ? instance
                : Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(4));
        CookieName = $"offtape-{port}-{Instance}";
        if (kept?.Sessions is { } sessions)
            _sessions.AddRange(sessions.Where(s => s.Digest is { Length: 64 } && !IsOver(s)).Take(MostSessions));
    }

    public string CookieName { get; }

    /// <summary>Eight digits of this studio's own.</summary>
    public string Instance { get; }

    /// <summary>Lets one more browser in.</summary>
    /// <returns>The secret for its cookie.</returns>
    public string Begin()
    {
        var secret = Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(ByteCount));
        lock (_gate)
        {
            _sessions.RemoveAll(IsOver);
            if (_sessions.Count >= MostSessions)
                _sessions.RemoveAt(0);
            _sessions.Add(new Session(Digest(secret), _clock.GetUtcNow()));
        }
        Save();
        return secret;
    }

    public bool Knows(string? secret)
    {
        if (secret is not { Length: ByteCount * 2 })
            return false;
        var digest = Encoding.ASCII.GetBytes(Digest(secret));
        var isKnown = false;
        lock (_gate)
        {
            // All of them are compared, so that the time taken says nothing.
            foreach (var session in _sessions)
                isKnown |= CryptographicOperations.FixedTimeEquals(digest, Encoding.ASCII.GetBytes(session.Digest)) && !IsOver(session);
        }
        return isKnown;
    }

    /// <summary>Writes the digests, once there is a folder for them.</summary>
    public void Save()
    {
        if (_file is null || !Directory.Exists(Path.GetDirectoryName(_file)))
            return;
        Kept kept;
        lock (_gate)
            kept = new Kept(Instance, [.. _sessions]);
        try
        {
            SafeFile.WriteText(_file, JsonSerializer.Serialize(kept, GuardJson.Default.Kept), replace: true);
            if (!OperatingSystem.IsWindows())
                File.SetUnixFileMode(_file, UnixFileMode.UserRead | UnixFileMode.UserWrite);
        }
        catch (Exception error) when (error is Fault or IOException or UnauthorizedAccessException)
        {
            // Without it a restart asks the browser in again; nothing else is lost.
        }
    }

    private bool IsOver(Session session) => _clock.GetUtcNow() - session.Since > Lifetime;

    private static string Digest(string secret) => Convert.ToHexStringLower(SHA256.HashData(Encoding.ASCII.GetBytes(secret)));

    private static Kept? Load(string? file)
    {
        try
        {
            return file is not null && new FileInfo(file) is { Exists: true, Length: < 1 << 16 }
                ? JsonSerializer.Deserialize(File.ReadAllText(file), GuardJson.Default.Kept)
                : null;
        }
        catch (Exception error) when (error is JsonException or IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }

    internal sealed record Session(string Digest, DateTimeOffset Since);

    internal sealed record Kept(string? Instance, IReadOnlyList<Session>? Sessions);
}
