using Offtape.Base;

namespace Offtape.AudioFiles;

/// <summary>A stream whose failures are faults that name the file the user asked for. Its owner closes what is beneath.</summary>
internal sealed class OutputStream(string path, Stream inner) : Stream
{
    public override bool CanRead => inner.CanRead;

    public override bool CanSeek => inner.CanSeek;

    public override bool CanWrite => inner.CanWrite;

    public override long Length => inner.Length;

    public override long Position
    {
        get => inner.Position;
        set => Seek(value, SeekOrigin.Begin);
    }

    public override void Flush() => Do(inner.Flush);

    public override int Read(byte[] buffer, int offset, int count) => inner.Read(buffer, offset, count);

    public override long Seek(long offset, SeekOrigin origin)
    {
        long position = 0;
        Do(() => position = inner.Seek(offset, origin));
        return position;
    }

    public override void SetLength(long value) => Do(() => inner.SetLength(value));

    public override void Write(byte[] buffer, int offset, int count) => Write(buffer.AsSpan(offset, count));

    public override void Write(ReadOnlySpan<byte> buffer)
    {
        try
        {
            inner.Write(buffer);
        }
        catch (Exception error) when (Fault.IsOutputError(error))
        {
            throw Fault.FromOutputError(path, error);
        }
    }

    private void Do(Action action)
    {
        try
        {
            action();
        }
        catch (Exception error) when (Fault.IsOutputError(error))
        {
            throw Fault.FromOutputError(path, error);
        }
    }
}
