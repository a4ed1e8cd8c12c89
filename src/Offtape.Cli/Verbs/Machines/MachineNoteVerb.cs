using System.CommandLine;
using System.Text.Json.Serialization.Metadata;
using Offtape.Base;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Machines;

/// <summary>Where and when something of a machine is noted.</summary>
internal sealed record MachineNote(MachineBook Book, string Machine, string At, string Text);

/// <summary>A verb that notes something of a machine where it is said, and shows how the machine then stands.</summary>
internal static class MachineNoteVerb
{
    /// <param name="name">The verb.</param>
    /// <param name="words">What it does.</param>
    /// <param name="example">One call.</param>
    /// <param name="own">Its own options; name, day, remark and studio it has besides.</param>
    /// <param name="note">Notes what was said; nothing where nothing was.</param>
    /// <param name="answer">What of the machine is shown.</param>
    /// <param name="json">How that stands in JSON.</param>
    /// <param name="say">How it stands on a sheet.</param>
    public static Verb Create<T>(
        string name,
        string words,
        string example,
        IReadOnlyList<Option> own,
        Action<ParseResult, MachineNote> note,
        Func<MachineView, T> answer,
        JsonTypeInfo<T> json,
        Action<MachineView, Sheet> say
    )
    {
        var machine = MachineOptions.Name();
        var date = MachineOptions.Date();
        var remark = MachineOptions.Note();
        var studio = StudioInUse.Option();
        var command = new Command(name, words) { machine };
        foreach (var option in own.Concat([date, remark, studio]))
            command.Options.Add(option);
        return new Verb(
            command,
            example,
            (parsed, desk, _) =>
            {
                var (named, at) = (MachineOptions.Name(parsed, machine), MachineOptions.At(parsed, date));
                using var store = StudioInUse.Open(parsed, studio);
                var book = new MachineBook(store);
                note(parsed, new MachineNote(book, named, at, parsed.GetValue(remark) ?? ""));
                var view = book.Find(named);
                desk.Result(answer(view), json, sheet => say(view, sheet));
                return ExitCode.Done;
            }
        );
    }
}
