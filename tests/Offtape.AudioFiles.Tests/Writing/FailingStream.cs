namespace Offtape.AudioFiles.Tests;

/// <summary>A file on a disk that fails after so many bytes, with an error of the operating system.</summary>
internal sealed class FailingStream(string path, long room, int errorNumber) : FileStream(path, FileMode.CreateNew, FileAccess.ReadWrite)
{
    public const int NoSpaceLeft = 28;

    /// <summary>EFBIG, which .NET tells in its own way.</summary>
    public const int FileTooLarge = 27;
    public const int ReadOnlyFileSystem = 30;
    public const int InputOutputError = 5;

    // A stream that derives from FileStream is handed every span as an array.
    public override void Write(byte[] array, int offset, int count)
    {
        if (Position + count > room)
            throw errorNumber == FileTooLarge
                ? new ArgumentOutOfRangeException("value")
                : new IOException("The disk says no.", errorNumber);
        base.Write(array, offset, count);
    }
}
