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
    private const string Formula =
        "send = operating level + what the staircase needs for that output; distortion = RMS of (bend of the staircase − nearest straight line) ÷ RMS of that "
        + "line, over all samples; noise under the sound = signal-to-noise of the bench + level of the sound against operating level";

    // More than one sample in ten thousand beyond the staircase is worth saying.
    private const double TellBeyond = 1e-4;

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
        var answer = new SoundLevelsAnswer([.. advices.Select(Row)], Formula);
        desk.Result(
            answer,
            CliJsonContext.Default.SoundLevelsAnswer,
            sheet =>
            {
                foreach (var advice in advices)
                    Say(advice, sheet);
                sheet.Paragraph(Formula + ".");
            }
        );
        return advices.Any(a => a.Rows.Any(r => r.SentDb is null || r.OverFullScaleDb > 0)) ? ExitCode.Incomplete : ExitCode.Done;
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
        var sound = advice.Sound;
        sheet
            .Line(sheet.Ink.Strong(sound.Name))
            .Paragraph(
                $"Peak {Words.Number(sound.PeakDbfs, 1)} dBFS, {Words.Number(sound.CrestDb, 1)} dB over its RMS; loudest 10 ms like a sine of "
                    + $"{Words.Number(sound.LoudestDbfs, 1)} dBFS, its treble of {Words.Number(sound.TrebleDbfs, 1)}; the middle of its spectrum is at "
                    + $"{Words.Number(sound.MeanHz, 0)} Hz.",
                "  "
            )
            .Line()
            .Table(
                [
                    "operating level",
                    ">comes out dB",
                    ">send --level",
                    ">distortion",
                    ">treble lost",
                    ">noise under it",
                    ">noise over it from",
                ],
                advice.Rows.Select(r =>
                    (string[])
                        [
                            r.Name,
                            Words.Signed(r.OutputDb, 0),
                            r.SendPeakDbfs is { } peak ? Words.Number(peak, 1) + " dBFS" : "not known",
                            r.DistortionPercent is { } distortion
                                ? (r.ShareBeyond > TellBeyond ? "over " : "") + Figures.Plain(distortion, 2) + " %"
                                : "not known",
                            Treble(r),
                            r.NoiseUnderDb is { } noise ? Words.Number(noise, 1) + " dB" : "not known",
                            r.NoiseOverSoundFromHz is { } hz ? $"{hz / 1000:0.0} kHz" : "nowhere",
                        ]
                )
            )
            .Line();
        foreach (var row in advice.Rows)
        {
            if (row.SentDb is null)
                sheet.Paragraph($"{row.Name}: no step of the bench came out as loud. The tape does not give it.", "  ", sheet.Ink.Warn);
            else if (row.OverFullScaleDb > 0)
                sheet.Paragraph(
                    $"{row.Name}: the send would peak {Words.Number(row.OverFullScaleDb, 1)} dB over full scale. Turn the machine's input up by as much, and take the bench again.",
                    "  ",
                    sheet.Ink.Warn
                );
        }
        sheet.Line("  What the report cannot tell:");
        foreach (var text in advice.NotKnown)
            sheet.Paragraph(text, "  - ");
        sheet.Line();
    }

    private static string Treble(SendRow row) =>
        (row.TrebleLossDb, row.TrebleCompressionDb) switch
        {
            (null, null) => "not known",
            var (loss, squeezed) => (row.IsTrebleBeyond ? "over " : "") + Words.Number((loss ?? 0) + (squeezed ?? 0), 1) + " dB",
        };
}
