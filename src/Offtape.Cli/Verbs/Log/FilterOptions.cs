using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Log;

/// <summary>Options that say which passes are meant.</summary>
internal sealed class FilterOptions
{
    private const int MostRows = 1_000_000;
    private readonly Option<string?> _machine = Quantities.Text("--machine", "NAME", "printed on this machine");
    private readonly Option<string?> _tape = Quantities.Text("--tape", "NAME", "printed to this tape");
    private readonly Option<string?> _side = Quantities.Text("--tape-side", "A|B|1", "on this side");
    private readonly Option<double?> _speed = Quantities.Speed("--speed", "at this speed, within 1 %, in cm/s or as 7.5ips");
    private readonly Option<string?> _source = Quantities.Text("--source", "TEXT", "with a sound whose name holds this");
    private readonly Option<string?> _from = Quantities.Text("--from", "YYYY-MM-DD", "from this day");
    private readonly Option<string?> _to = Quantities.Text("--until", "YYYY-MM-DD", "up to this day, itself included");
    private readonly Option<int?> _limit = Quantities.Whole(
        "--limit",
        "N",
        $"at most so many; {PassFilter.UsualLimit} unless told",
        1,
        MostRows
    );

    public IEnumerable<Option> All => [_machine, _tape, _side, _speed, _source, _from, _to, _limit];

    public PassFilter Read(ParseResult parsed) =>
        new()
        {
            Machine = parsed.GetValue(_machine),
            Tape = parsed.GetValue(_tape),
            Side = parsed.GetValue(_side),
            SpeedCmPerSecond = parsed.GetValue(_speed),
            Source = parsed.GetValue(_source),
            From = Day(_from.Name, parsed.GetValue(_from)),
            To = Day(_to.Name, parsed.GetValue(_to)),
            Limit = parsed.GetValue(_limit) ?? PassFilter.UsualLimit,
        };

    internal static string? Day(string option, string? text) =>
        text is null || DateOnly.TryParseExact(text, "yyyy-MM-dd", out _)
            ? text
            : throw Fault.Usage($"{option} is a day as 2026-05-31, not \"{text}\"");
}
