using Offtape.Base;
using Offtape.Bench;
using Offtape.Signal;

namespace Offtape.Studio;

/// <summary>
/// From a sound and a machine's report: how loud to send it, and what becomes of it. The sound's loudest 10 ms are brought out under, at and
/// over operating level. Distortion: every sample through the bend of the measured staircase, against the straight line nearest to it, RMS to
/// RMS. Treble: the quiet response over the sound's third octaves, and the compression of a 10 kHz tone as loud as its treble. Noise: the
/// recorded silence.
/// </summary>
public static class SendAdvisor
{
    private const double TrebleToHz = 17_783;
    private const double LowestNoisyHz = 1000;
    private static readonly (string Name, double OutputDb)[] Targets = [("under", -10), ("at", 0), ("over", 6)];

    // A misfit like this and more is no curve without memory: level control, noise reduction, a clipped step.
    private const double BentMisfitDb = 0.5;

    public static SendAdvice Of(SoundProfile sound, BenchReport report, int channel = 1)
    {
        if (!report.Readings.Any(r => r.Channel == channel))
            throw Fault.Usage(
                $"The report has no channel {channel}",
                $"It has {Words.List([.. report.Readings.Select(r => r.Channel).OfType<int>().Distinct().Order().Select(c => $"{c}")])}."
            );
        var curve = StaticCurve.Of(report, channel, sound.MeanHz);
        var response = Response(report, channel);
        var treble = report.Curves.FirstOrDefault(c => c.Quantity == "outputLevel" && c.Channel == channel && c.Condition == "10 kHz");
        return new SendAdvice(
            sound,
            report.Machine,
            channel,
            report.OperatingLevelDbfs,
            curve?.FrequencyHz,
            [.. Targets.Select(t => Row(t.Name, t.OutputDb, sound, report, channel, curve, response, treble))],
            [.. NotKnown(report, channel, curve, response, treble)]
        );
    }

    private static SendRow Row(
        string name,
        double outputDb,
        SoundProfile sound,
        BenchReport report,
        int channel,
        StaticCurve? curve,
        ReadingCurve? response,
        ReadingCurve? treble
    )
    {
        // Without a staircase the level tones still say where operating level is: as if the tape were straight.
        var sent = curve is null ? outputDb : curve.SentForOutput(outputDb);
        var row = new SendRow
        {
            Name = name,
            OutputDb = outputDb,
            SentDb = sent,
        };
        if (sent is not { } level)
            return row;
        var gain = report.OperatingLevelDbfs + level - sound.LoudestDbfs;
        // From the file's scale to a sine's peak at operating level.
        var toOperating = gain - report.OperatingLevelDbfs;
        var (compression, isBeyond) = TrebleCompression(treble, sound.TrebleDbfs + toOperating);
        var (distortion, squeezedDb, shareBeyond) = Distortion(sound, curve, toOperating);
        row = row with
        {
            GainDb = gain,
            SendPeakDbfs = sound.PeakDbfs + gain,
            DistortionPercent = distortion,
            ShareBeyond = shareBeyond,
            TrebleLossDb = TrebleLoss(sound, response),
            TrebleCompressionDb = compression,
            IsTrebleBeyond = isBeyond,
        };
        return Noise(row, sound, report, channel, response, toOperating - squeezedDb);
    }

    /// <summary>
    /// RMS of what the bend adds over RMS of the sound behind it; by how much the whole sound comes out softer than it would without a bend; and
    /// how much of it lies beyond the staircase.
    /// </summary>
    private static (double? Percent, double SqueezedDb, double ShareBeyond) Distortion(
        SoundProfile sound,
        StaticCurve? curve,
        double toOperatingDb
    )
    {
        if (curve is null)
            return (null, 0, 0);
        var scale = Conversions.DbToAmplitude(toOperatingDb);
        var top = Conversions.DbToAmplitude(curve.HighestSentDb);
        var (inIn, inOut, outOut, even, evenEven, beyond) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
        foreach (var (size, share) in sound.Sizes.Shares())
        {
            var x = scale * size;
            var (odd, both) = (curve.OddAt(x), curve.EvenAt(x));
            inIn += share * x * x;
            inOut += share * x * odd;
            outOut += share * odd * odd;
            even += share * both;
            evenEven += share * both * both;
            if (x > top)
                beyond += share;
        }
        if (inOut <= 0)
            return (null, 0, 0);
        var gain = inOut / inIn;
        // The mean of the even part is DC, and does not come through.
        var added = Math.Max(0, outOut - gain * inOut) + Math.Max(0, evenEven - even * even);
        return (100 * Math.Sqrt(added / (gain * gain * inIn)), -Conversions.AmplitudeToDb(gain), beyond);
    }

    private static double? TrebleLoss(SoundProfile sound, ReadingCurve? response)
    {
        if (response is null)
            return null;
        // Twelfths of an octave, the level straight between the middles of thirds: within a third the response falls, and so does the sound.
        var (before, after) = (0.0, 0.0);
        for (var place = SoundMeter.TrebleBand - 0.375; 1000 * Math.Pow(10, place / 10) < TrebleToHz; place += 0.25)
        {
            var dbfs = Between(sound, place);
            if (double.IsNegativeInfinity(dbfs))
                continue;
            // What is no longer read there is lost: the response ended in noise below it.
            before += Conversions.DbToPower(dbfs);
            after += At(response, 1000 * Math.Pow(10, place / 10)) is { } db ? Conversions.DbToPower(dbfs + db) : 0;
        }
        return before > 0 && after > 0 ? Conversions.PowerToDb(before / after) : null;
    }

    private static double Between(SoundProfile sound, double place)
    {
        var lower = (int)Math.Floor(place);
        var (low, high) = (Level(lower), Level(lower + 1));
        if (double.IsNegativeInfinity(low) || double.IsNegativeInfinity(high))
            return Math.Max(low, high);
        return low + (place - lower) * (high - low);

        double Level(int band) => sound.ThirdOctavesDbfs.GetValueOrDefault(band, double.NegativeInfinity);
    }

    private static (double? Db, bool IsBeyond) TrebleCompression(ReadingCurve? steps, double sentDb)
    {
        if (steps is null || steps.X.Length < 2 || !steps.Y.All(double.IsFinite))
            return (null, false);
        var quietGain = steps.Y[0] - steps.X[0];
        if (sentDb <= steps.X[0])
            return (0, false);
        var gain = At(steps, Math.Min(sentDb, steps.X[^1]))!.Value - Math.Min(sentDb, steps.X[^1]);
        return (Math.Max(0, quietGain - gain), sentDb > steps.X[^1]);
    }

    private static SendRow Noise(
        SendRow row,
        SoundProfile sound,
        BenchReport report,
        int channel,
        ReadingCurve? response,
        double toReturnDb
    )
    {
        // Operating level is a sine, and the ratio is of root mean squares.
        var soundOverOperating = sound.RmsDbfs + toReturnDb + SoundMeter.SineDb;
        var noise = report.Find("signalToNoiseUnweighted", channel)?.Value;
        var under = noise + soundOverOperating;
        return row with
        {
            NoiseUnderDb = under,
            WeightedNoiseUnderDb = report.Find("signalToNoiseAWeighted", channel)?.Value + soundOverOperating,
            NoiseDbfs = sound.RmsDbfs - under,
            NoiseUnderQuietDb = under - (sound.RmsDbfs - sound.QuietDbfs),
            NoiseOverSoundFromHz = NoisyFrom(sound, report, channel, response, row.GainDb!.Value),
        };
    }

    private static double? NoisyFrom(SoundProfile sound, BenchReport report, int channel, ReadingCurve? response, double gainDb)
    {
        var noise = report.Curves.FirstOrDefault(c =>
            c.Quantity == "noiseSpectrum" && c.Channel == channel && c.Condition == "recorded silence"
        );
        if (noise is null || report.Find("pathGain", channel)?.Value is not { } path)
            return null;
        double? from = null;
        for (var i = noise.X.Length - 1; i >= 0 && noise.X[i] >= LowestNoisyHz; i--)
        {
            var level = sound.ThirdOctavesDbfs.GetValueOrDefault(ThirdOctaves.BandOf(noise.X[i]), double.NegativeInfinity);
            var heard = response is null ? 0 : At(response, noise.X[i]) ?? double.NegativeInfinity;
            if (!(noise.Y[i] > level + gainDb + path + heard))
                break;
            from = noise.X[i];
        }
        return from;
    }

    // Of the quietest sweep: louder ones bend in the treble, which is told apart.
    private static ReadingCurve? Response(BenchReport report, int channel) =>
        report.Curves.Where(c => c.Quantity == "response" && c.Channel == channel).OrderBy(c => Quantity(c.Condition)).FirstOrDefault();

    private static double Quantity(string condition) =>
        double.TryParse(condition.Split(' ')[0].Replace(Words.Minus, '-'), out var number) ? number : double.PositiveInfinity;

    // Straight between points; null outside of them, and where there is none.
    private static double? At(ReadingCurve curve, double x)
    {
        var after = Array.FindIndex(curve.X, v => v >= x);
        if (after < 0)
            return null;
        if (curve.X[after] == x || after == 0)
            return curve.X[after] == x && double.IsFinite(curve.Y[after]) ? curve.Y[after] : null;
        var share = (x - curve.X[after - 1]) / (curve.X[after] - curve.X[after - 1]);
        var y = curve.Y[after - 1] + share * (curve.Y[after] - curve.Y[after - 1]);
        return double.IsFinite(y) ? y : null;
    }

    private static IEnumerable<string> NotKnown(
        BenchReport report,
        int channel,
        StaticCurve? curve,
        ReadingCurve? response,
        ReadingCurve? treble
    )
    {
        if (report.How == HowTaken.ForeignTape)
            yield return "What this machine records: the check signal stood on a tape of another. Record it on this one and read that.";
        if (curve is null)
            yield return "Distortion, and how much less comes out than is sent: the report has no staircase. Take the bench with its part stairs.";
        else if (curve.MisfitDb > BentMisfitDb)
            yield return $"Whether the distortion is right: the measured levels are {Words.Number(curve.MisfitDb, 1)} dB off any bend without memory, as with level control or noise reduction on.";
        if (treble is null)
            yield return "How much loud treble is squeezed: the report has no staircase at 10 kHz.";
        else
            yield return "How treble and bass squeeze each other: the staircase at 10 kHz has no bass under it. Together they lose more.";
        if (response is null)
            yield return "Treble loss: the report has no sweep.";
        if (report.Find("signalToNoiseUnweighted", channel) is null)
            yield return "Noise: the report has no recorded silence with a level tone to measure it against.";
        if (report.Find("modulationNoise", channel) is null)
            yield return "Noise that comes and goes with the sound: the report does not tell it.";
        yield return "Other machines, tapes and trims: the answer holds for the line-up of this report.";
    }
}
