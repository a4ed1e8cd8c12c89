using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Shell;
using Offtape.Cli.Verbs.Log;

namespace Offtape.Cli.Verbs.Machines;

/// <summary>What several verbs of a machine have.</summary>
internal static class MachineOptions
{
    public static Argument<string> Name() => new("NAME") { Description = "the machine, as you call it" };

    public static Option<string?> Date() => Quantities.Text("--date", "YYYY-MM-DD", "the day; today unless told");

    public static Option<string?> Note() => Quantities.Text("--note", "TEXT", "a remark");

    public static string At(ParseResult parsed, Option<string?> date) =>
        FilterOptions.Day(date.Name, parsed.GetValue(date)) is { } day ? day + "T00:00:00Z" : Words.Moment(DateTime.UtcNow);

    /// <exception cref="Fault">Usage: the name is empty.</exception>
    public static string Name(ParseResult parsed, Argument<string> argument) =>
        parsed.GetValue(argument)!.Trim() is { Length: > 0 } name ? name : throw Fault.Usage("A machine needs a name");
}
