using System.Security.Cryptography;
using System.Text;

namespace Offtape.Web.Guarding;

/// <summary>The secret by which the first browser is let in: 32 random bytes, good once.</summary>
internal sealed class LaunchToken
{
    public const int ByteCount = 32;
    private byte[]? _text;

    public LaunchToken()
    {
        Text = Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(ByteCount));
        _text = Encoding.ASCII.GetBytes(Text);
    }

    /// <summary>As it stands in the address.</summary>
    public string Text { get; }

    /// <summary>True the first time it is asked with the right text, never again.</summary>
    public bool Use(string? offered)
    {
        var held = Volatile.Read(ref _text);
        if (held is null || offered is null || !CryptographicOperations.FixedTimeEquals(held, Encoding.UTF8.GetBytes(offered)))
            return false;
        // Two at once: one of them only.
        return Interlocked.CompareExchange(ref _text, null, held) == held;
    }
}
