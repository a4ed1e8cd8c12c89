using System.CommandLine;
using Offtape.Base;
using Offtape.Bench;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;

namespace Offtape.Cli.Verbs.Bench;

/// <summary>The check signal of a machine, and the run that it asks for.</summary>
internal static class SignalsVerb
{
    public static Verb Create()
    {
        var to = Quantities.Text("--to", "DIR", "folder that receives bench.wav and bench-sheet.json");
        var rate = BenchOptions.Rate();
        var level = BenchOptions.Level();
        var channels = BenchOptions.Channels();
        var parts = Quantities.Text(
            "--parts",
            string.Join(',', BenchPartNames.Kinds.Take(3).Select(k => k.Word)) + ",...",
            $"only these parts, by name or by kind ({string.Join(", ", BenchPartNames.Kinds.Select(k => k.Word))}); all unless told"
        );
        var command = new Command("signals", "Makes a check signal for a machine, and the sheet that says what stands where.")
        {
            to,
            rate,
            level,
            parts,
            channels,
        };
        return new Verb(
            command,
            "offtape bench signals --to deck",
            (parsed, desk, cancellation) =>
            {
                var request = new BenchSheetRequest
                {
                    SampleRateHz = parsed.GetValue(rate) ?? BenchSheetRequest.DefaultSampleRateHz,
                    LevelDbfs = parsed.GetValue(level) ?? BenchSheetRequest.DefaultLevelDbfs,
                    ChannelCount = parsed.GetValue(channels) ?? BenchSheetRequest.DefaultChannelCount,
                    Parts = Split(parsed.GetValue(parts)),
                };
                var folder =
                    parsed.GetValue(to)
                    ?? throw Fault.Usage(
                        "bench signals needs --to DIR",
                        "It names the folder that receives bench.wav and bench-sheet.json."
                    );
                var result = BenchSignalsJob.Run(request, folder, desk.Force, desk.Progress.Begin(), cancellation);
                desk.Result(SignalsAnswer.From(result), CliJsonContext.Default.SignalsAnswer, sheet => Say(result, sheet));
                return ExitCode.Done;
            }
        );
    }

    /// <summary>Words with commas between them.</summary>
    internal static IReadOnlyList<string> Split(string? text) =>
        text is null ? [] : text.Split(',', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries);

    private static void Say(BenchSignalsResult result, Sheet sheet)
    {
        sheet.Table(
            [">at", "part", ">length", ">peak", "channels"],
            result.Sheet.Parts.Select(p =>
                (string[])
                    [
                        Words.Clock(p.StartSeconds),
                        p.Name,
                        Words.Number(p.LengthSeconds, 1) + " s",
                        PartSound.PeakDb(p) is var peak && double.IsFinite(peak) ? Words.Signed(peak, 0) + " dB" : "",
                        p.Channels.Count == result.Sheet.ChannelCount ? "all" : string.Join(", ", p.Channels),
                    ]
            )
        );
        sheet.Line();
        sheet.Paragraph(
            $"A check signal of {Words.Duration(result.Sheet.LengthSeconds)}; levels are against operating level, "
                + $"{Words.Number(result.Sheet.OperatingLevelDbfs, 1)} dBFS peak. Wrote {result.SignalPath} and {result.SheetPath}."
        );
        sheet.Line().Line("The run:");
        BenchOptions.Say(result.Steps, sheet);
    }
}

/// <summary>The JSON of <c>bench signals</c>.</summary>
internal sealed record SignalsAnswer(
    string SignalFile,
    string SheetFile,
    string SheetId,
    int SampleRateHz,
    int ChannelCount,
    double OperatingLevelDbfs,
    double LengthSeconds,
    IReadOnlyList<string> Parts,
    IReadOnlyList<BenchStep> Steps
)
{
    public static SignalsAnswer From(BenchSignalsResult result) =>
        new(
            result.SignalPath,
            result.SheetPath,
            result.Sheet.SheetId,
            result.Sheet.SampleRateHz,
            result.Sheet.ChannelCount,
            result.Sheet.OperatingLevelDbfs,
            result.Sheet.LengthSeconds,
            [.. result.Sheet.Parts.Select(p => p.Name)],
            result.Steps
        );
}
