using Offtape.Base;
using Offtape.Bench;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Passes;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Studio;

/// <summary>What was measured of a sound, in JSON.</summary>
internal sealed record SoundProfileRow(
    double PeakDbfs,
    double RmsDbfs,
    double CrestDb,
    double LoudestDbfs,
    double TrebleDbfs,
    double MeanHz,
    double LengthSeconds
);

/// <summary>One sound of <c>levels</c>.</summary>
internal sealed record SoundAdviceRow(
    string Sound,
    SoundProfileRow Profile,
    string Machine,
    int Channel,
    double? CurveHz,
    IReadOnlyList<SendRow> Levels,
    IReadOnlyList<string> NotKnown
);

/// <summary>The answer of <c>levels</c> for sounds.</summary>
internal sealed record SoundLevelsAnswer(IReadOnlyList<SoundAdviceRow> Sounds, string Formula);

/// <summary>The half of <c>levels</c> that says of a sound how loud to send it to a machine whose bench is known.</summary>
internal static class SoundLevels
{
    public static ExitCode Run(string[] sounds, string bench, int channel, Desk desk, CancellationToken cancellation)
    {
        var files = SoundFolders.Files(sounds);
        var report = BenchReport.Load(bench);
        var progress = desk.Progress.Begin();
        var advices = new List<SendAdvice>();
        for (var i = 0; i < files.Count; i++)
        {
            var part = progress.Part((double)i / files.Count, (double)(i + 1) / files.Count);
            advices.Add(SendAdvisor.Of(SoundMeter.Of(files[i], part, cancellation), report, channel));
        }
        var answer = new SoundLevelsAnswer([.. advices.Select(Row)], SendAdviceWords.Formula);
        desk.Result(
            answer,
            CliJsonContext.Default.SoundLevelsAnswer,
            sheet =>
            {
                foreach (var advice in advices)
                    Say(advice, sheet);
                sheet.Paragraph(SendAdviceWords.Formula + ".");
            }
        );
        return advices.Any(a => a.Rows.Any(r => r.IsOutOfReach)) ? ExitCode.Incomplete : ExitCode.Done;
    }

    private static SoundAdviceRow Row(SendAdvice advice) =>
        new(
            advice.Sound.Name,
            new SoundProfileRow(
                advice.Sound.PeakDbfs,
                advice.Sound.RmsDbfs,
                advice.Sound.CrestDb,
                advice.Sound.LoudestDbfs,
                advice.Sound.TrebleDbfs,
                advice.Sound.MeanHz,
                advice.Sound.LengthSeconds
            ),
            advice.Machine,
            advice.Channel,
            advice.CurveHz,
            advice.Rows,
            advice.NotKnown
        );

    private static void Say(SendAdvice advice, Sheet sheet)
    {
        sheet
            .Line(sheet.Ink.Strong(advice.Sound.Name))
            .Paragraph(SendAdviceWords.Sound(advice.Sound), "  ")
            .Line()
            .Table(SendAdviceWords.Table(advice, "send --level"))
            .Line();
        foreach (var warning in SendAdviceWords.Warnings(advice))
            sheet.Paragraph(warning, "  ", sheet.Ink.Warn);
        sheet.Line("  What the report cannot tell:");
        foreach (var text in advice.NotKnown)
            sheet.Paragraph(text, "  - ");
        sheet.Line();
    }
}
