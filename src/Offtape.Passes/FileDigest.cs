using System.Security.Cryptography;
using Offtape.Base;

namespace Offtape.Passes;

/// <summary>The SHA-256 (FIPS 180-4) of a file, by which a sheet knows its sources again.</summary>
public static class FileDigest
{
    private const int BlockBytes = 1 << 17;

    /// <summary>In lower-case hexadecimal digits.</summary>
    /// <param name="path">The file, read from end to end.</param>
    /// <param name="progress">Given the share that is done; may be null.</param>
    /// <param name="cancellation">Looked at once a block.</param>
    /// <exception cref="Fault">Input: the file cannot be read.</exception>
    public static string Of(string path, Action<double>? progress, CancellationToken cancellation)
    {
        try
        {
            using var file = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read, 0, FileOptions.SequentialScan);
            using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
            var buffer = new byte[BlockBytes];
            for (int read; (read = file.Read(buffer)) > 0; )
            {
                cancellation.ThrowIfCancellationRequested();
                hash.AppendData(buffer, 0, read);
                progress?.Invoke((double)file.Position / Math.Max(1, file.Length));
            }
            return Convert.ToHexStringLower(hash.GetHashAndReset());
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromInputError(path, error);
        }
    }
}
