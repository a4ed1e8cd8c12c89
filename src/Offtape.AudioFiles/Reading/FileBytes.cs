using Microsoft.Win32.SafeHandles;
using Offtape.Base;

namespace Offtape.AudioFiles;

/// <summary>The bytes of a file, read at any place. Its length is taken once, when it is opened: no size inside the file is trusted beyond it.</summary>
internal sealed class FileBytes : IDisposable
{
    private readonly SafeFileHandle _handle;

    private FileBytes(string path, SafeFileHandle handle, long length) => (Path, _handle, Length) = (path, handle, length);

    public string Path { get; }

    public long Length { get; }

    /// <exception cref="Fault">No such file, a folder, no permission.</exception>
    public static FileBytes Open(string path)
    {
        SafeFileHandle? handle = null;
        try
        {
            // A recorder may still have the file open for writing; what is there now is read.
            handle = File.OpenHandle(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
            return new FileBytes(path, handle, RandomAccess.GetLength(handle));
        }
        catch (NotSupportedException error)
        {
            handle?.Dispose();
            throw Fault.Input(path, "it is not a file on a disk", cause: error);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException or ArgumentException)
        {
            handle?.Dispose();
            throw Fault.FromInputError(path, error);
        }
    }

    /// <summary>Reads as many bytes as there are, up to the span's length.</summary>
    public int Read(long offset, Span<byte> bytes)
    {
        try
        {
            var total = 0;
            while (total < bytes.Length)
            {
                var count = RandomAccess.Read(_handle, bytes[total..], offset + total);
                if (count == 0)
                    break;
                total += count;
            }
            return total;
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromInputError(Path, error);
        }
    }

    /// <exception cref="Fault">The file has become shorter since it was opened.</exception>
    public void ReadExactly(long offset, Span<byte> bytes)
    {
        var count = Read(offset, bytes);
        if (count < bytes.Length)
            throw Fault.Input(Path, "it ends in the middle of what should stand here", offset + count);
    }

    /// <summary>A copy of a stretch that the caller has checked against <see cref="Length"/>.</summary>
    public byte[] Copy(long offset, int byteCount)
    {
        var bytes = new byte[byteCount];
        ReadExactly(offset, bytes);
        return bytes;
    }

    public void Dispose() => _handle.Dispose();
}
