using System.Security.Cryptography;

namespace Offtape.Web.Waves;

/// <summary>By what a kept pyramid knows the file again that it was made from: its size, when it was written, and a digest of both ends of it.</summary>
/// <param name="ByteCount">Size of the file.</param>
/// <param name="WrittenTicks">When it was written, in ticks of UTC.</param>
/// <param name="Ends">SHA-256 (FIPS 180-4) of its first and its last 64 KiB, in hexadecimal digits.</param>
internal sealed record SourceMark(long ByteCount, long WrittenTicks, string Ends)
{
    private const int EndBytes = 1 << 16;

    /// <exception cref="IOException">It cannot be read.</exception>
    /// <exception cref="UnauthorizedAccessException">It may not be read.</exception>
    public static SourceMark Of(string path)
    {
        using var file = File.OpenHandle(path);
        var length = RandomAccess.GetLength(file);
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        var block = new byte[EndBytes];
        hash.AppendData(block, 0, RandomAccess.Read(file, block, 0));
        hash.AppendData(block, 0, RandomAccess.Read(file, block, Math.Max(0, length - EndBytes)));
        return new SourceMark(length, File.GetLastWriteTimeUtc(path).Ticks, Convert.ToHexStringLower(hash.GetHashAndReset()));
    }
}
