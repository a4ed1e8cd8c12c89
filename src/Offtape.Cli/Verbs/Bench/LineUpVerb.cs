using System.CommandLine;
using Offtape.Base;
using Offtape.Bench;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;

namespace Offtape.Cli.Verbs.Bench;

/// <summary>The tone by which record level, output and trim are set.</summary>
internal static class LineUpVerb
{
    public static Verb Create()
    {
        var to = Quantities.Text("--to", "DIR", "folder that receives lineup.wav");
        var rate = BenchOptions.Rate();
        var level = BenchOptions.Level();
        var channels = BenchOptions.Channels();
        var tone = Quantities.Choice("--tone", "frequency in Hz; 1000 unless told, 315 for cassettes", "1000", "315");
        var command = new Command("line-up", "Makes a tone to set levels with, and says how.") { to, rate, level, channels, tone };
        return new Verb(
            command,
            "offtape bench line-up --to deck",
            (parsed, desk, _) =>
            {
                var result = LineUpJob.Run(
                    parsed.GetValue(to)
                        ?? throw Fault.Usage("bench line-up needs --to DIR", "It names the folder that receives lineup.wav."),
                    parsed.GetValue(rate) ?? BenchSheetRequest.DefaultSampleRateHz,
                    parsed.GetValue(channels) ?? BenchSheetRequest.DefaultChannelCount,
                    parsed.GetValue(level) ?? BenchSheetRequest.DefaultLevelDbfs,
                    parsed.GetValue(tone) is "315" ? LineUpJob.CassetteFrequencyHz : LineUpJob.DefaultFrequencyHz,
                    desk.Force
                );
                var answer = new LineUpAnswer(result.Path, result.FrequencyHz, result.LevelDbfs, result.LengthSeconds, result.Steps);
                desk.Result(answer, CliJsonContext.Default.LineUpAnswer, sheet => Say(result, sheet));
                return ExitCode.Done;
            }
        );
    }

    private static void Say(LineUpResult result, Sheet sheet)
    {
        sheet.Paragraph(
            $"Wrote {result.Path}: {result.FrequencyHz} Hz at {Words.Number(result.LevelDbfs, 1)} dBFS peak, a loop of "
                + $"{Words.Duration(result.LengthSeconds)} whose end meets its beginning."
        );
        sheet.Line();
        BenchOptions.Say(result.Steps, sheet);
    }
}

/// <summary>The JSON of <c>bench line-up</c>.</summary>
internal sealed record LineUpAnswer(string File, int FrequencyHz, double LevelDbfs, double LengthSeconds, IReadOnlyList<BenchStep> Steps);
