using System.Text;
using System.Text.Json.Serialization.Metadata;
using Offtape.Base;
using Offtape.Cli.Json;

namespace Offtape.Cli.Shell;

/// <summary>
/// Where a verb puts its words: results to standard output, messages to standard error. With <c>--json</c> standard output holds the
/// JSON and nothing else; with <c>--quiet</c> only errors are said.
/// </summary>
internal sealed class Desk
{
    private static readonly UTF8Encoding PlainUtf8 = new(encoderShouldEmitUTF8Identifier: false);

    // Help and other short words are held back until the end, where a full disk is told.
    private const int OutputBufferChars = 1 << 16;
    private readonly bool _json;
    private readonly bool _quiet;

    public Desk(
        TextWriter output,
        TextWriter error,
        bool json,
        bool quiet,
        bool force,
        bool verbose,
        Ink outputInk,
        Ink errorInk,
        bool errorIsTerminal
    )
    {
        (Out, Error, _json, _quiet, Force, Verbose) = (output, error, json, quiet, force, verbose);
        (Ink, ErrorInk) = (outputInk, errorInk);
        Progress = new ProgressLine(error, errorIsTerminal && !quiet, errorInk);
    }

    public TextWriter Out { get; }

    public TextWriter Error { get; }

    public Ink Ink { get; }

    public Ink ErrorInk { get; }

    public bool Force { get; }

    public bool Verbose { get; }

    public ProgressLine Progress { get; }

    public static Desk ForConsole(bool json, bool quiet, bool force, bool verbose) =>
        new(
            // Not Console.Out: on a terminal that sends the terminal's own codes before the first word.
            new StreamWriter(Console.OpenStandardOutput(), PlainUtf8, OutputBufferChars),
            new StreamWriter(Console.OpenStandardError(), PlainUtf8) { AutoFlush = true },
            json,
            quiet,
            force,
            verbose,
            Ink.For(!Console.IsOutputRedirected),
            Ink.For(!Console.IsErrorRedirected),
            !Console.IsErrorRedirected
        );

    /// <summary>The result as JSON or, when that was not asked for, in words.</summary>
    public void Result<T>(T result, JsonTypeInfo<T> type, Action<Sheet> words) => Result(_json ? CliJson.Text(result, type) : "", words);

    /// <summary>As the other, for a result that knows its own JSON.</summary>
    public void Result(string json, Action<Sheet> words)
    {
        Progress.Clear();
        if (_json)
            Put(json + "\n");
        else if (!_quiet)
        {
            var sheet = new Sheet(Ink);
            words(sheet);
            Put(sheet.ToString());
        }
    }

    /// <summary>A line on standard output at once, for a verb that goes on; said also with <c>--quiet</c>, because it was asked for.</summary>
    public void Say(string line)
    {
        Put(line + "\n");
        Flush();
    }

    /// <summary>A plain line on standard error, for a verb that goes on.</summary>
    public void Tell(string line)
    {
        if (!_quiet)
            Error.WriteLine(line);
    }

    /// <summary>Something the user should know that stopped nothing.</summary>
    public void Tell(Notice notice)
    {
        if (_quiet)
            return;
        Progress.Clear();
        Error.WriteLine($"{ErrorInk.Warn("note:")} {notice.Text}");
    }

    /// <summary>Why the work ended: one line, and the stack with <c>--verbose</c>.</summary>
    public void Fail(string message, Exception? error)
    {
        Progress.Clear();
        Error.WriteLine($"{ErrorInk.Bad("offtape:")} {message}");
        if (Verbose && error is not null)
            Error.WriteLine(error.ToString());
    }

    /// <summary>Sends what is still held back to standard output.</summary>
    /// <exception cref="Fault">It goes to a file, and the disk is full.</exception>
    public void Flush() => Guarded(Out.Flush);

    private void Put(string text) => Guarded(() => Out.Write(text));

    private static void Guarded(Action write)
    {
        try
        {
            write();
        }
        catch (IOException error)
        {
            throw Fault.FromOutputError("standard output", error);
        }
    }
}
