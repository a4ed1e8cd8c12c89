using Offtape.Base;
using Offtape.Cli.Json;

namespace Offtape.Cli.Shell;

/// <summary>
/// Where a verb puts its words: results to standard output, messages to standard error. With <c>--json</c> standard output holds the
/// JSON and nothing else; with <c>--quiet</c> only errors are said.
/// </summary>
internal sealed class Desk
{
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

    /// <summary>True once writing to standard output has failed, as when the reader of a pipe has closed it.</summary>
    public bool OutputIsClosed { get; private set; }

    public static Desk ForConsole(bool json, bool quiet, bool force, bool verbose) =>
        new(
            Console.Out,
            Console.Error,
            json,
            quiet,
            force,
            verbose,
            Ink.For(!Console.IsOutputRedirected),
            Ink.For(!Console.IsErrorRedirected),
            !Console.IsErrorRedirected
        );

    /// <summary>The result as JSON or, when that was not asked for, in words.</summary>
    public void Result<T>(T result, System.Text.Json.Serialization.Metadata.JsonTypeInfo<T> type, Action<Sheet> words)
    {
        Progress.Clear();
        if (_json)
            Write(CliJson.Text(result, type) + "\n");
        else if (!_quiet)
        {
            var sheet = new Sheet(Ink);
            words(sheet);
            Write(sheet.ToString());
        }
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

    public void Flush() => Guarded(Out.Flush);

    private void Write(string text) => Guarded(() => Out.Write(text));

    private void Guarded(Action write)
    {
        try
        {
            write();
        }
        catch (IOException)
        {
            OutputIsClosed = true;
            throw;
        }
    }
}
