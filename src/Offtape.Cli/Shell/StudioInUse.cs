using System.CommandLine;
using Offtape.Base;
using Offtape.Studio;

namespace Offtape.Cli.Shell;

/// <summary>The studio a command works with, and how it is named.</summary>
internal static class StudioInUse
{
    public static Option<string?> Option() =>
        Quantities.Text(
            "--studio",
            "DIR",
            $"studio folder; else {StudioPlace.Variable}, else the nearest parent with {StudioStore.FileName}"
        );

    /// <summary>The folder in use; null: none.</summary>
    public static string? Folder(ParseResult parsed, Option<string?> option) =>
        StudioPlace.Find(parsed.GetValue(option), Environment.GetEnvironmentVariable(StudioPlace.Variable), Environment.CurrentDirectory);

    /// <summary>Opens the studio for a verb that can do nothing without one.</summary>
    /// <param name="parsed">The command line.</param>
    /// <param name="option">Its option.</param>
    /// <param name="isMade">Make it where there is none.</param>
    /// <exception cref="Fault">Usage: none is in use; or it cannot be opened.</exception>
    public static StudioStore Open(ParseResult parsed, Option<string?> option, bool isMade = false)
    {
        var folder =
            Folder(parsed, option)
            ?? throw Fault.Usage(
                "No studio is in use",
                $"Name one with --studio DIR or {StudioPlace.Variable}, or stand in its folder; the first machine, tape or send begins it."
            );
        return isMade ? StudioStore.Open(folder) : StudioStore.OpenExisting(folder);
    }

    /// <summary>Notes in the log what was done. The work is done already: whatever goes wrong here is one note, and no fault.</summary>
    /// <param name="folder">The studio; null: none is in use, and nothing is noted.</param>
    /// <param name="desk">Where it is told.</param>
    /// <param name="note">Notes it, and says what is new.</param>
    /// <returns>Full path of the studio it was noted in; null: it was not.</returns>
    public static string? Note(string? folder, Desk desk, Func<StudioLog, IReadOnlyList<Notice>> note)
    {
        if (folder is null)
            return null;
        try
        {
            using var store = StudioStore.Open(folder);
            foreach (var notice in note(new StudioLog(store)))
                desk.Tell(notice);
            return store.Folder;
        }
        catch (Exception error)
        {
            desk.Tell(new Notice("not-logged", $"This is not in the log of the studio: {error.Message.Split('\n')[0]}"));
            return null;
        }
    }
}
