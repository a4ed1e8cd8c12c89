namespace Offtape.Studio.Tests;

/// <summary>A file that is made while it is read: a head, and one body many times.</summary>
internal sealed class RepeatingStream(byte[] head, byte[] body, long repeats) : Stream
{
    public long ServedBytes { get; private set; }

    public override bool CanRead => true;

    public override bool CanSeek => false;

    public override bool CanWrite => false;

    public override long Length => head.Length + body.Length * repeats;

    public override long Position
    {
        get => ServedBytes;
        set => throw new NotSupportedException();
    }

    public override int Read(byte[] buffer, int offset, int count)
    {
        var served = 0;
        for (; served < count && ServedBytes < Length; served++, ServedBytes++)
            buffer[offset + served] = ServedBytes < head.Length ? head[ServedBytes] : body[(ServedBytes - head.Length) % body.Length];
        return served;
    }

    public override void Flush() { }

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();

    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();
}
