using System.CommandLine;
using Offtape.Base;
using Offtape.Passes;

namespace Offtape.Cli.Shell;

/// <summary>Options that say where and how a pass is run: machine, tape, settings.</summary>
internal sealed class RunOptions
{
    private readonly Option<string?> _machine = Quantities.Text("--machine", "NAME", "the machine it is printed on");
    private readonly Option<string?> _tape = Quantities.Text("--tape", "NAME", "the tape it is printed to");
    private readonly Option<string?> _side = Quantities.Text("--tape-side", "A|B|1", "side of the tape; A unless told");

    private readonly Option<string?> _tapeTracks = Quantities.Text(
        "--tape-tracks",
        "3,4",
        "tracks of the tape, as its format numbers them; those of the send's channels unless told"
    );

    private readonly Option<double?> _counter = Quantities.Number(
        "--start-counter",
        "N",
        "what the machine's counter shows where the send begins",
        -SheetRun.MostCounter,
        SheetRun.MostCounter
    );

    private readonly Option<double?> _start = Quantities.Number(
        "--start",
        "SECONDS",
        "where on the side the send begins, from its beginning at the pass's speed",
        -1e-9,
        SheetRun.MostStartSeconds
    );

    private readonly Option<double?> _pitch = Quantities.Number(
        "--pitch",
        "PERCENT",
        "pitch control of the machine; above 0 is faster",
        -SheetRun.MostPitchPercent,
        SheetRun.MostPitchPercent
    );
    private readonly Option<string?> _inputLevel = Quantities.Text(
        "--input-level",
        "TEXT",
        "where the record level stands, as its knob has it"
    );
    private readonly Option<string?> _noiseReduction = Quantities.Text("--noise-reduction", "TEXT", "off, or which is on");
    private readonly Option<string?> _tapeType = Quantities.Text("--tape-type", "TEXT", "what the machine is set to: I, II, IV, or words");
    private readonly Option<string?> _note = Quantities.Text("--note", "TEXT", "a remark");

    public IEnumerable<Option> All =>
        [_machine, _tape, _side, _tapeTracks, _counter, _start, _pitch, _inputLevel, _noiseReduction, _tapeType, _note];

    /// <summary>What was said; null: nothing.</summary>
    public SheetRun? Read(ParseResult parsed)
    {
        var run = new SheetRun
        {
            Machine = Word(parsed, _machine),
            Tape = Word(parsed, _tape),
            Side = Word(parsed, _side),
            TapeTracks = Quantities.Tracks(parsed, _tapeTracks) is { Count: > 0 } tracks ? tracks : null,
            StartCounter = parsed.GetValue(_counter),
            StartSeconds = parsed.GetValue(_start) is { } start ? Math.Max(0, start) : null,
            PitchPercent = parsed.GetValue(_pitch),
            InputLevel = Word(parsed, _inputLevel),
            NoiseReduction = Word(parsed, _noiseReduction),
            TapeType = Word(parsed, _tapeType),
            Note = Word(parsed, _note),
        };
        if (run.Tape is null && run.Side is not null)
            throw Fault.Usage("--tape-side needs --tape NAME", "It says which tape the side is of.");
        return run == new SheetRun() ? null : run;
    }

    private static string? Word(ParseResult parsed, Option<string?> option)
    {
        var text = parsed.GetValue(option);
        if (text is null)
            return null;
        if (string.IsNullOrWhiteSpace(text))
            throw Fault.Usage($"{option.Name} wants a text after it");
        return text.Trim();
    }
}
