using System.Runtime.ExceptionServices;
using System.Runtime.InteropServices;

namespace Offtape.AudioFiles;

/// <summary>
/// The bytes of a file as the codec library asks for them. An exception must not cross its code: it is kept, the library is told that
/// nothing more can be had, and <see cref="Rethrow"/> brings it up after the call.
/// </summary>
internal abstract class CodecBridge : IDisposable
{
    // The delegates must live as long as the library may call them.
    private readonly Delegate[] _alive;
    private ExceptionDispatchInfo? _failure;
    private byte[] _block = [];

    protected CodecBridge()
    {
        GetLengthFunction getLength = _ => Length;
        SeekFunction seek = (offset, whence, _) => Guard(() => Position = Target(offset, whence));
        TransferFunction read = (pointer, count, _) => Guard(() => Read(pointer, count));
        TransferFunction write = (pointer, count, _) => Guard(() => Write(pointer, count));
        GetLengthFunction tell = _ => Position;
        _alive = [getLength, seek, read, write, tell];
        Callbacks = new CodecCallbacks
        {
            GetLength = Marshal.GetFunctionPointerForDelegate(getLength),
            Seek = Marshal.GetFunctionPointerForDelegate(seek),
            Read = Marshal.GetFunctionPointerForDelegate(read),
            Write = Marshal.GetFunctionPointerForDelegate(write),
            Tell = Marshal.GetFunctionPointerForDelegate(tell),
        };
    }

    private delegate long GetLengthFunction(nint user);

    private delegate long SeekFunction(long offset, int whence, nint user);

    private delegate long TransferFunction(nint pointer, long count, nint user);

    public CodecCallbacks Callbacks { get; }

    protected abstract long Length { get; }

    protected long Position { get; private set; }

    /// <summary>The library takes a file to stand at its beginning when it opens it.</summary>
    public void Rewind() => Position = 0;

    /// <summary>Throws what a call to the library ran into.</summary>
    public void Rethrow()
    {
        GC.KeepAlive(_alive);
        var failure = _failure;
        _failure = null;
        failure?.Throw();
    }

    public abstract void Dispose();

    protected abstract int ReadAt(long offset, Span<byte> bytes);

    protected abstract void WriteAt(long offset, ReadOnlySpan<byte> bytes);

    private long Target(long offset, int whence) =>
        whence switch
        {
            0 => offset,
            1 => Position + offset,
            _ => Length + offset,
        };

    private long Read(nint pointer, long count)
    {
        long total = 0;
        while (total < count)
        {
            var block = Block(count - total);
            var read = ReadAt(Position, block);
            if (read == 0)
                break;
            Marshal.Copy(_block, 0, pointer + (nint)total, read);
            Position += read;
            total += read;
        }
        return total;
    }

    private long Write(nint pointer, long count)
    {
        for (long total = 0; total < count; )
        {
            var block = Block(count - total);
            Marshal.Copy(pointer + (nint)total, _block, 0, block.Length);
            WriteAt(Position, block);
            Position += block.Length;
            total += block.Length;
        }
        return count;
    }

    private Span<byte> Block(long wanted)
    {
        const int mostBytes = 64 * 1024;
        if (_block.Length == 0)
            _block = new byte[mostBytes];
        return _block.AsSpan(0, (int)Math.Min(wanted, mostBytes));
    }

    private long Guard(Func<long> action)
    {
        if (_failure is not null)
            return 0;
        try
        {
            return action();
        }
        catch (Exception error)
        {
            _failure = ExceptionDispatchInfo.Capture(error);
            return 0;
        }
    }
}

/// <summary>A file that is read.</summary>
internal sealed class ReadingBridge(FileBytes file) : CodecBridge
{
    protected override long Length => file.Length;

    public override void Dispose() => file.Dispose();

    protected override int ReadAt(long offset, Span<byte> bytes) => offset < 0 ? 0 : file.Read(offset, bytes);

    protected override void WriteAt(long offset, ReadOnlySpan<byte> bytes) => throw new NotSupportedException("The file is only read.");
}

/// <summary>A file that is written. Its owner completes it or throws it away.</summary>
internal sealed class WritingBridge(Stream stream) : CodecBridge
{
    protected override long Length => stream.Length;

    public override void Dispose() { }

    protected override int ReadAt(long offset, Span<byte> bytes)
    {
        stream.Position = offset;
        return stream.Read(bytes);
    }

    protected override void WriteAt(long offset, ReadOnlySpan<byte> bytes)
    {
        if (stream.Position != offset)
            stream.Position = offset;
        stream.Write(bytes);
    }
}
