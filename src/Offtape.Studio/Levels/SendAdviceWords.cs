using Offtape.Base;
using Offtape.Report;

namespace Offtape.Studio;

/// <summary>How loud to send a sound, as a terminal and a page say it.</summary>
public static class SendAdviceWords
{
    public const string Formula =
        "send = operating level + what the staircase needs for that output; distortion = RMS of (bend of the staircase − nearest straight line) ÷ RMS of that "
        + "line, over all samples; noise under the sound = signal-to-noise of the bench + level of the sound against operating level";

    private const string NotKnown = "not known";

    // More than one sample in ten thousand beyond the staircase is worth saying.
    private const double TellBeyond = 1e-4;

    /// <summary>What was measured of the sound.</summary>
    public static string Sound(SoundProfile sound) =>
        $"Peak {Words.Number(sound.PeakDbfs, 1)} dBFS, {Words.Number(sound.CrestDb, 1)} dB over its RMS; loudest 10 ms like a sine of "
        + $"{Words.Number(sound.LoudestDbfs, 1)} dBFS, its treble of {Words.Number(sound.TrebleDbfs, 1)}; the middle of its spectrum is at "
        + $"{Words.Number(sound.MeanHz, 0)} Hz.";

    /// <param name="advice">Of the sound.</param>
    /// <param name="sendName">What the highest sample in the send is called there.</param>
    public static ReportTable Table(SendAdvice advice, string sendName)
    {
        var table = ReportTable
            .Create("")
            .Words("operating level")
            .Figures("comes out dB")
            .Figures(sendName)
            .Figures("distortion")
            .Figures("treble lost")
            .Figures("noise under it")
            .Figures("noise over it from");
        foreach (var r in advice.Rows)
            table = table.Row(
                r.Name,
                Words.Signed(r.OutputDb, 0),
                r.SendPeakDbfs is { } peak ? Words.Number(peak, 1) + " dBFS" : NotKnown,
                r.DistortionPercent is { } distortion
                    ? (r.ShareBeyond > TellBeyond ? "over " : "") + Figures.Plain(distortion, 2) + " %"
                    : NotKnown,
                Treble(r),
                r.NoiseUnderDb is { } noise ? Words.Number(noise, 1) + " dB" : NotKnown,
                r.NoiseOverSoundFromHz is { } hz ? $"{hz / 1000:0.0} kHz" : "nowhere"
            );
        return table;
    }

    /// <summary>What stands in the way of a level.</summary>
    public static IEnumerable<string> Warnings(SendAdvice advice) =>
        advice
            .Rows.Where(r => r.IsOutOfReach)
            .Select(r =>
                r.SentDb is null
                    ? $"{r.Name}: no step of the bench came out as loud. The tape does not give it."
                    : $"{r.Name}: the send would peak {Words.Number(r.OverFullScaleDb, 1)} dB over full scale. Turn the machine's input up by as much, and take the bench again."
            );

    private static string Treble(SendRow row) =>
        (row.TrebleLossDb, row.TrebleCompressionDb) switch
        {
            (null, null) => NotKnown,
            var (loss, squeezed) => (row.IsTrebleBeyond ? "over " : "") + Words.Number((loss ?? 0) + (squeezed ?? 0), 1) + " dB",
        };
}
