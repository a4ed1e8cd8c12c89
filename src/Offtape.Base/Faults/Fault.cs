namespace Offtape.Base;

/// <summary>
/// A failure that the user can understand and act on: which file, what is wrong, where, what to do. It carries the exit code of the
/// command. <see cref="Exception.Message"/> is the whole of it in one line.
/// </summary>
public sealed class Fault : Exception
{
    private Fault(ExitCode exitCode, string message, string? file, long? byteOffset, string? advice, Exception? cause)
        : base(OneLine(message, byteOffset, advice), cause)
    {
        ExitCode = exitCode;
        File = file;
        ByteOffset = byteOffset;
        Advice = advice;
    }

    public ExitCode ExitCode { get; }

    /// <summary>The file concerned, as the user named it; null where there is none.</summary>
    public string? File { get; }

    /// <summary>Where in the file, counted from its first byte; null where no place can be named.</summary>
    public long? ByteOffset { get; }

    public string? Advice { get; }

    public static Fault Usage(string message, string? advice = null) => new(ExitCode.Usage, message, null, null, advice, null);

    public static Fault Incomplete(string message, string? advice = null) => new(ExitCode.Incomplete, message, null, null, advice, null);

    public static Fault Input(string file, string what, long? byteOffset = null, string? advice = null, Exception? cause = null) =>
        new(ExitCode.InputUnreadable, $"Cannot read {Name(file)}: {what}", file, byteOffset, advice, cause);

    public static Fault Output(string file, string what, string? advice = null, Exception? cause = null) =>
        new(ExitCode.OutputUnwritable, $"Cannot write {Name(file)}: {what}", file, null, advice, cause);

    /// <summary>The fault among what went wrong in work on several threads, whose errors come bundled; null where there is none.</summary>
    public static Fault? Among(Exception error) =>
        error switch
        {
            Fault fault => fault,
            AggregateException several => several.Flatten().InnerExceptions.OfType<Fault>().FirstOrDefault(),
            _ => null,
        };

    /// <summary>An operating-system error while writing, in the user's words: full disk, no permission, read-only folder.</summary>
    public static Fault FromOutputError(string file, Exception error) =>
        error switch
        {
            Fault fault => fault,
            UnauthorizedAccessException => Output(
                file,
                "the folder or file may not be written to",
                "Choose another folder with --to.",
                error
            ),
            DirectoryNotFoundException => Output(file, "its folder does not exist", "Make the folder first.", error),
            IOException io when IsDiskFull(io) => Output(file, "the disk is full", "Make room, or choose another disk with --to.", error),
            ArgumentOutOfRangeException => Output(
                file,
                "the disk is full, or can hold no file of that size",
                "Make room, or choose another disk with --to.",
                error
            ),
            IOException io when IsReadOnly(io) => Output(file, "the folder is read-only", "Choose another folder with --to.", error),
            _ => Output(file, FirstLine(error.Message), null, error),
        };

    /// <summary>
    /// What the operating system says while a file is written. .NET tells EFBIG, a file that grows beyond what its disk or a quota allows, as
    /// an argument out of range.
    /// </summary>
    public static bool IsOutputError(Exception error) => error is IOException or UnauthorizedAccessException or ArgumentOutOfRangeException;

    /// <summary>An operating-system error while reading, in the user's words.</summary>
    public static Fault FromInputError(string file, Exception error) =>
        error switch
        {
            Fault fault => fault,
            FileNotFoundException or DirectoryNotFoundException => Input(file, "there is no such file", null, "Check the name.", error),
            UnauthorizedAccessException => Input(file, Directory.Exists(file) ? "it is a folder" : "it may not be read", null, null, error),
            _ => Input(file, FirstLine(error.Message), null, null, error),
        };

    // ENOSPC 28, EDQUOT 122 and EFBIG 27 on Linux and macOS (EDQUOT 69 there); ERROR_DISK_FULL 112 and ERROR_HANDLE_DISK_FULL 39 on Windows.
    private static bool IsDiskFull(IOException error) => (error.HResult & 0xFFFF) is 28 or 27 or 122 or 69 or 112 or 39;

    // EROFS 30 on Linux and macOS; ERROR_WRITE_PROTECT 19 on Windows.
    private static bool IsReadOnly(IOException error) => (error.HResult & 0xFFFF) is 30 or 19;

    private static string Name(string file) =>
        $"\"{Path.GetFileName(Path.TrimEndingDirectorySeparator(file)) switch { "" => file, var name => name }}\"";

    private static string FirstLine(string text) => text.Split('\n', '\r')[0].TrimEnd('.');

    private static string OneLine(string message, long? byteOffset, string? advice)
    {
        var line = byteOffset is { } offset ? $"{message} (at byte {offset})" : message;
        if (!line.EndsWith('.'))
            line += ".";
        return advice is null ? line : $"{line} {advice}";
    }
}
