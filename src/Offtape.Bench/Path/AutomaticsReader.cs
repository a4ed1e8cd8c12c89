using Offtape.Base;

namespace Offtape.Bench;

/// <summary>
/// Level control and noise reduction that were left on: steps of level have to come back as steps. How far they do is stated; what it points
/// to is a suspicion with its reason. The limits are common practice, no source. Only steps can tell: hiss beside a tone is louder than hiss in a
/// pause on any tape (modulation noise), and how loud hiss should be is not known of a machine, so that neither says anything of noise reduction.
/// </summary>
public static class AutomaticsReader
{
    // Below this tape is straight: what bends here is not the tape.
    private const double LoudestStepDb = -8;

    // Treble is lifted in recording, and bends earlier.
    private const double LoudestTrebleStepDb = -18;
    private const double TrebleHz = 5000;
    private const double QuietestStepDb = -30;
    private const double LeastSpanDb = 10;
    private const int FewestSteps = 3;

    // How much the middle one of all steps may change by itself while it lasts; a dropout changes one of them.
    private const double RideDb = 0.3;

    // A law that does not change with time is a straight line through the steps, the same at 315 Hz and 1 kHz. Automatics remember.
    private const double BentDb = 1;
    private const double UnlikeSlopes = 0.2;

    // Tape, hiss and wobble together keep within this of a slope of 1.
    private const double SlopeLimit = 0.07;

    // No noise reduction presses steps together more than two to one; a level control holds them.
    private const double LeastSlope = 0.4;
    private const double HalfWidthHz = 60;

    public static Findings Read(BenchCapture capture, MachineFacts facts, CancellationToken cancellation)
    {
        var findings = Findings.None;
        for (var channel = 0; channel < capture.ChannelCount; channel++)
        {
            var follows = new List<StairsFollowing>();
            foreach (var part in capture.Of(BenchPartKind.Staircase).Where(p => p.Channels.Contains(channel + 1)))
            {
                cancellation.ThrowIfCancellationRequested();
                if (Following(capture, part, channel) is { } following)
                    follows.Add(following);
            }
            findings += new Findings
            {
                Readings = [.. follows.Select(f => Stated(f, channel))],
                Notices = [.. Suspicions(follows, channel)],
            };
            if (follows.Count == 0)
                findings += new Findings { Readings = [Blank(channel, "1 kHz").Unknown(Why(capture))] };
        }
        return findings;
    }

    private static string Why(BenchCapture capture) =>
        capture.Of(BenchPartKind.Staircase).Any() ? "No steps below operating level stand out of the noise" : capture.WhyNot("stairs-1000");

    private static StairsFollowing? Following(BenchCapture capture, BenchPart part, int channel)
    {
        var stepSeconds = PartSound.StepSeconds(part);
        var loudest = part.FrequencyHz > TrebleHz ? LoudestTrebleStepDb : LoudestStepDb;
        var (sent, got, rides) = (new List<double>(), new List<double>(), new List<double>());
        for (var step = 0; step < part.StepLevelsDb.Count; step++)
        {
            var level = part.StepLevelsDb[step];
            if (level < QuietestStepDb || level > loudest)
                continue;
            var from = part.StartSeconds + step * stepSeconds;
            var margin = Math.Min(HeardTone.MarginSeconds, stepSeconds / 5);
            if (
                HeardTone.Of(capture, channel, part.FrequencyHz!.Value, from + margin, from + stepSeconds - margin, HalfWidthHz)
                is not { } tone
            )
                continue;
            sent.Add(level);
            // The later half: an automatic has then done what it does.
            got.Add(Conversions.AmplitudeToDb(HeardTone.Median(tone.Envelope.AsSpan(tone.Envelope.Length / 2))));
            var (early, late) = (tone.Envelope.Length / 4, tone.Envelope.Length * 3 / 4);
            var change = Conversions.AmplitudeToDb(
                HeardTone.Median(tone.Envelope.AsSpan(late)) / HeardTone.Median(tone.Envelope.AsSpan(0, early))
            );
            rides.Add(Math.Abs(change));
        }
        return sent.Count < FewestSteps || sent.Max() - sent.Min() < LeastSpanDb
            ? null
            : Fit(part, sent, got, HeardTone.Median(rides.ToArray()));
    }

    private static StairsFollowing Fit(BenchPart part, List<double> sent, List<double> got, double ride)
    {
        var (meanX, meanY) = (sent.Average(), got.Average());
        var xx = sent.Sum(x => (x - meanX) * (x - meanX));
        var slope = sent.Zip(got, (x, y) => (x - meanX) * (y - meanY)).Sum() / xx;
        var rest = sent.Zip(got, (x, y) => Math.Pow(y - meanY - slope * (x - meanX), 2)).Sum();
        var expanded = Repeats.StudentT(sent.Count - 2) * Math.Sqrt(rest / (sent.Count - 2) / xx);
        return new StairsFollowing(part, slope, expanded, ride, Math.Sqrt(rest / sent.Count));
    }

    private static Reading Stated(StairsFollowing following, int channel) =>
        Blank(channel, StairsReadings.Tone(following.Part.FrequencyHz!.Value)) with
        {
            Value = following.Slope,
            Uncertainty = following.Expanded,
        };

    private static Reading Blank(int channel, string condition) =>
        new()
        {
            Quantity = "levelFollowing",
            Channel = channel + 1,
            Condition = condition,
            Unit = "dB/dB",
            Method =
                "Rise of the returned level for each dB of the steps that are well below operating level, a straight line through them",
        };

    private static IEnumerable<Notice> Suspicions(List<StairsFollowing> follows, int channel)
    {
        var (mid, high) = (follows.Where(f => !f.IsTreble).ToArray(), follows.Where(f => f.IsTreble).ToArray());
        if (mid.Length == 0)
            yield break;
        var slope = mid.Average(f => f.Slope);
        var ride = mid.Max(f => f.RideDb);
        var treble = high.Length == 0 ? double.NaN : high.Average(f => f.Slope);
        var where = $"Channel {channel + 1}: steps of 1 dB come back as steps of {Words.Number(slope, 2)} dB";
        var bent = mid.Max(f => f.BentDb);
        var unlike = mid.Max(f => f.Slope) - mid.Min(f => f.Slope);
        // A slope through few noisy steps may lean by itself.
        var reach = SlopeLimit + Math.Sqrt(mid.Average(f => f.Expanded * f.Expanded));
        var trebleReach = high.Length == 0 ? 0 : reach + high.Max(f => f.Expanded);
        if (ride > RideDb || bent > BentDb || unlike > UnlikeSlopes || slope < LeastSlope)
            yield return new Notice(
                "level-control",
                $"{where}, {Words.Number(bent, 1)} dB off a straight line, and move by {Words.Number(ride, 1)} dB while they last: "
                    + "automatic level control is probably on. Switch it off."
            );
        else if (slope < 1 - reach)
            yield return new Notice(
                "noise-reduction",
                $"{where} over the whole band: probably recorded with noise reduction that is off in replay. Switch it off for both."
            );
        else if (slope > 1 + reach)
            yield return new Notice(
                "noise-reduction",
                $"{where} over the whole band: probably noise reduction that is on in replay only. Switch it off for both."
            );
        else if (Math.Abs(treble - slope) > trebleReach)
            yield return new Notice(
                "noise-reduction",
                $"Channel {channel + 1}: at 10 kHz steps of 1 dB come back as steps of {Words.Number(treble, 2)} dB, lower down as "
                    + $"{Words.Number(slope, 2)} dB: probably noise reduction that is on in {(treble < slope ? "recording" : "replay")} only. "
                    + "Switch it off for both."
            );
    }

    /// <summary>How one staircase was followed.</summary>
    private sealed record StairsFollowing(BenchPart Part, double Slope, double Expanded, double RideDb, double BentDb)
    {
        internal bool IsTreble => Part.FrequencyHz > TrebleHz;
    }
}
