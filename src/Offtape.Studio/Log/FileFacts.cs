using Offtape.Base;
using Offtape.Passes;

namespace Offtape.Studio;

/// <summary>A file as the log knows it.</summary>
/// <param name="Path">Full path.</param>
/// <param name="Sha256">Of its whole content, in lower-case hexadecimal.</param>
/// <param name="ByteCount">Its size.</param>
/// <param name="Kind">One of <see cref="FileKind"/>.</param>
internal sealed record FileFacts(string Path, string Sha256, long ByteCount, string Kind)
{
    /// <summary>Reads the file from end to end.</summary>
    /// <exception cref="Fault">Input: it cannot be read.</exception>
    public static FileFacts Of(string path, string kind, CancellationToken cancellation)
    {
        var digest = FileDigest.Of(path, null, cancellation);
        return new FileFacts(System.IO.Path.GetFullPath(path), digest, new FileInfo(path).Length, kind);
    }
}

/// <summary>What a file of the log is for.</summary>
internal static class FileKind
{
    public const string Source = "source";
    public const string Send = "send";
    public const string PassSheet = "pass-sheet";
    public const string Capture = "capture";
    public const string ReturnSheet = "return-sheet";
    public const string Take = "take";
    public const string Bench = "bench";
    public const string BenchCapture = "bench-capture";
}
