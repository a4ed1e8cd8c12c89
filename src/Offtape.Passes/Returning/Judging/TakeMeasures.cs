using Offtape.Base;
using Offtape.Passes.Following;
using Offtape.Passes.Listening;
using Offtape.Signal;

namespace Offtape.Passes.Judging;

/// <summary>What can be read off a followed take besides its place.</summary>
internal static class TakeMeasures
{
    private const double DropoutDb = 6;
    private const double ShortestDropoutSeconds = 0.008;
    private const double LongestDropoutSeconds = 1;
    private const double NoiseLowHz = 100;
    private const double NoiseHighHz = 10_000;

    /// <summary>Greatest departure of the speed from its mean while the sound plays, in cents.</summary>
    internal static double? WobblePeakCents(FollowedTake take)
    {
        double peak = 0;
        var mean = take.RelativeSpeed;
        const double step = 0.05;
        var seen = false;
        for (var s = take.FirstHeard + step; s + step < take.LastHeard; s += 0.01)
        {
            if (take.Curve.SigmaAt(s) > 1e-3)
                continue;
            var speed = 2 * step / Math.Max(take.Curve.CaptureAt(s + step) - take.Curve.CaptureAt(s - step), 1e-9);
            peak = Math.Max(peak, Math.Abs(Conversions.RatioToCents(speed / mean)));
            seen = true;
        }
        return seen ? peak : null;
    }

    /// <summary>RMS of the quiet of one channel from 100 Hz to 10 kHz, dBFS; null where there is no quiet or only digital silence.</summary>
    internal static double? NoiseFloorDbfs(Recording recording, int channel, NoiseSpectrum noise)
    {
        if (noise.QuietSeconds.Count == 0)
            return null;
        using var reader = recording.Open();
        var rate = reader.Format.SampleRateHz;
        var frames = (int)(0.04 * rate);
        var length = TransformLength.AtLeast(frames);
        var transform = new RealTransform(length);
        var window = new float[frames];
        Windows.Hann(window, WindowForm.Periodic);
        var windowEnergy = window.Sum(w => (double)w * w);
        var interleaved = new float[frames * reader.Format.ChannelCount];
        var padded = new float[length];
        var (re, im) = (new float[transform.BinCount], new float[transform.BinCount]);
        double power = 0;
        var used = 0;
        foreach (var seconds in noise.QuietSeconds.Take(100))
        {
            if (reader.Read((long)(seconds * rate), interleaved) < frames)
                continue;
            for (var i = 0; i < frames; i++)
                padded[i] = interleaved[i * reader.Format.ChannelCount + channel] * window[i];
            transform.Forward(padded, re, im);
            for (var k = 1; k < re.Length; k++)
            {
                var hertz = (double)k * rate / length;
                if (hertz is >= NoiseLowHz and <= NoiseHighHz)
                    power += 2 * ((double)re[k] * re[k] + (double)im[k] * im[k]) / (length * windowEnergy);
            }
            used++;
        }
        var level = used == 0 ? double.NegativeInfinity : Conversions.PowerToDb(power / used);
        return level > -130 ? level : null;
    }

    /// <summary>Stretches in which the tape lost the sound: the level along the path against the source's, 300 Hz to 6 kHz.</summary>
    internal static List<ReturnDropout> Dropouts(FollowedTake take, CancellationToken cancellation)
    {
        using var sourceEar = new Ear(take.Source.Recording, take.NominalSpeed, take.IsReversed);
        using var captureEar = new Ear(take.Capture.Recording);
        var along = new PathReader(WorkingSignal.UsualRateHz);
        const int hop = 80;
        const int window = 160;
        var source = sourceEar.Channel(take.SourceChannel);
        var capture = captureEar.Channel(take.CaptureChannel);
        var hissPower = BandPower(take.Capture.Noise[take.CaptureChannel]);
        var sourceFilter = new FilterCascade(FilterDesign.ButterworthHighPass(2, 300, WorkingSignal.UsualRateHz));
        var captureFilter = new FilterCascade(FilterDesign.ButterworthHighPass(2, 300, WorkingSignal.UsualRateHz));
        var (s, c) = (new float[window * 8], new float[window * 8]);
        var levels = new List<(double Seconds, double Source, double Capture)>();
        for (var t = take.FirstHeard; t + s.Length / WorkingSignal.UsualRateHz <= take.LastHeard; t += s.Length / WorkingSignal.UsualRateHz)
        {
            cancellation.ThrowIfCancellationRequested();
            var frame = (long)Math.Round(t * WorkingSignal.UsualRateHz);
            source.Read(frame, s);
            along.Read(capture, take.Curve, (frame + s.Length / 2) / WorkingSignal.UsualRateHz, c);
            sourceFilter.Process(s, s);
            captureFilter.Process(c, c);
            for (var k = 0; k + hop <= s.Length; k += hop)
                levels.Add(((frame + k) / WorkingSignal.UsualRateHz, MeanSquare(s.AsSpan(k, hop)), MeanSquare(c.AsSpan(k, hop))));
        }
        return Runs(levels, hissPower, hop / WorkingSignal.UsualRateHz, take);
    }

    private static List<ReturnDropout> Runs(
        List<(double Seconds, double Source, double Capture)> levels,
        double hiss,
        double step,
        FollowedTake take
    )
    {
        var dropouts = new List<ReturnDropout>();
        if (levels.Count < 20)
            return dropouts;
        var loudest = levels.Max(l => l.Source);
        // Smoothed over 15 ms: a crossing of two waves within 5 ms is no dropout.
        double Smooth(int i, Func<(double Seconds, double Source, double Capture), double> pick)
        {
            double sum = 0;
            var n = 0;
            for (var k = Math.Max(0, i - 1); k <= Math.Min(levels.Count - 1, i + 1); k++, n++)
                sum += pick(levels[k]);
            return sum / n;
        }
        var ratios = new double[levels.Count];
        var usual = new List<double>();
        for (var i = 0; i < levels.Count; i++)
        {
            var (source, capture) = (Smooth(i, l => l.Source), Smooth(i, l => l.Capture));
            ratios[i] = source > 1e-3 * loudest ? Conversions.PowerToDb(Math.Max(capture, 1e-20) / source) : double.NaN;
            if (!double.IsNaN(ratios[i]))
                usual.Add(ratios[i]);
        }
        if (usual.Count < 20)
            return dropouts;
        usual.Sort();
        var median = usual[usual.Count / 2];
        var gain = Conversions.DbToPower(median);
        for (var i = 0; i < levels.Count; )
        {
            var j = i;
            double depth = 0;
            // Only where the sound, as deep as a dropout, would still stand out of the hiss.
            while (
                j < levels.Count
                && !double.IsNaN(ratios[j])
                && ratios[j] < median - DropoutDb
                && Smooth(j, l => l.Source) * gain > 10 * hiss
            )
                depth = Math.Max(depth, median - ratios[j++]);
            var length = (j - i) * step;
            if (length >= ShortestDropoutSeconds && length <= LongestDropoutSeconds && IsBetweenSound(ratios, median, i, j))
                dropouts.Add(new ReturnDropout(take.ToSourceFileSeconds(levels[i].Seconds), length * 1e3, depth));
            i = Math.Max(j, i + 1);
        }
        return dropouts;
    }

    // A real dropout has the sound back within 30 ms on both sides at about its usual level; a fall of the gain with level has not.
    private static bool IsBetweenSound(double[] ratios, double median, int from, int toExcl)
    {
        bool Near(int start, int end)
        {
            for (var i = Math.Max(0, start); i < Math.Min(ratios.Length, end); i++)
            {
                if (ratios[i] > median - 3)
                    return true;
            }
            return false;
        }
        return Near(from - 8, from) && Near(toExcl, toExcl + 8);
    }

    private static double MeanSquare(ReadOnlySpan<float> frames)
    {
        double sum = 0;
        foreach (var value in frames)
            sum += (double)value * value;
        return sum / frames.Length;
    }

    private static double BandPower(NoiseSpectrum noise)
    {
        double sum = 0;
        for (var k = (int)(300 * NoiseSpectrum.TransformLength / noise.RateHz); k < noise.Power.Length; k++)
            sum += noise.Power[k];
        return 2 * sum / NoiseSpectrum.TransformLength / (NoiseSpectrum.WindowFrames * 0.375);
    }
}
