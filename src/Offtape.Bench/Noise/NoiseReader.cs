using Offtape.Base;
using Offtape.Signal;

namespace Offtape.Bench;

/// <summary>
/// Noise without a sound, wherever the capture is quiet: unweighted, A-weighted, quasi-peak and in third octaves; against operating level;
/// and the hum in it.
/// </summary>
public static class NoiseReader
{
    // About 0.7 s: fine enough for the band at 25 Hz, short enough to have a dozen and more of them in ten seconds.
    private const double SegmentSeconds = 0.5;
    private const double LowestHz = 22.4;
    private const double HighestHz = 22_400;

    // Means of the pointer over a second correlate by 0.08 with the next and 0.06 with the one after (measured with ten minutes of noise): of nine of
    // them the mean is by so much less sure than of nine that have nothing in common.
    private const double PointerShare = 1.13;

    private const int LowestBand = -16;
    private const int HighestBand = 13;
    private const int FewestSegments = 3;

    public static Findings Read(BenchCapture capture, MachineFacts facts, CancellationToken cancellation)
    {
        var stretches = QuietStretches.Of(capture);
        var findings = Findings.None;
        for (var channel = 0; channel < capture.ChannelCount; channel++)
        {
            var level = OperatingLevel.Of(capture, channel);
            foreach (var stretch in stretches)
            {
                cancellation.ThrowIfCancellationRequested();
                findings += Levels(capture, stretch, channel, level);
            }
            if (stretches.Count == 0)
                findings += NotHeard(capture, channel);
            findings += HumReader.Read(capture, facts, stretches, channel, level);
        }
        return findings + HumHint.Of(findings) + WhatWasTaken(capture, stretches);
    }

    private static Findings Levels(BenchCapture capture, QuietStretch stretch, int channel, OperatingLevel? level)
    {
        var frames = stretch.Of(capture, channel);
        var rateHz = capture.SampleRateHz;
        var spectra = SegmentSpectra.Of(frames, rateHz, TransformLength.AtLeast((int)(SegmentSeconds * rateHz)));
        if (spectra.SegmentCount < FewestSegments)
            return Findings.None;
        var highestHz = Math.Min(HighestHz, rateHz / 2.0);
        var flat = spectra.Power(spectra.Weights(LowestHz, highestHz));
        var weighted = spectra.Power(spectra.Weights(LowestHz, highestHz, AWeighting.PowerGainAt));
        var t = Repeats.StudentT(spectra.SegmentCount - 1);
        (NoiseKind Kind, double Power, double Expanded)[] figures =
        [
            (NoiseKind.Unweighted, flat.Mean, t * flat.StandardError),
            (NoiseKind.AWeighted, weighted.Mean, t * weighted.StandardError),
            QuasiPeak(frames, rateHz),
        ];
        return new Findings
        {
            Readings =
            [
                .. figures.Select(f => Noise(f.Kind, channel, stretch.Name, f.Power, f.Expanded)),
                .. stretch.Name == QuietStretch.Recorded
                    ? figures.Select(f => SignalToNoise(f.Kind, channel, f.Power, f.Expanded, level, capture))
                    : [],
            ],
            Curves = [ThirdOctaveCurve(spectra, channel, stretch.Name, rateHz, t)],
        };
    }

    private static Reading Noise(NoiseKind kind, int channel, string condition, double power, double expanded)
    {
        var reading = new Reading
        {
            Quantity = "noise" + kind.Name,
            Channel = channel + 1,
            Condition = condition,
            Unit = "dBFS",
            Method = $"{kind.Method}; 0 dBFS is a root mean square of 1",
            Standard = kind.Standard,
        };
        return power > 0
            ? reading with
            {
                Value = Conversions.PowerToDb(power),
                Uncertainty = Repeats.PowerToDb(expanded / power),
            }
            : reading.Unknown("There is digital silence: nothing was recorded there");
    }

    private static Reading SignalToNoise(
        NoiseKind kind,
        int channel,
        double power,
        double expanded,
        OperatingLevel? level,
        BenchCapture capture
    )
    {
        var reading = new Reading
        {
            Quantity = "signalToNoise" + kind.Name,
            Channel = channel + 1,
            Unit = "dB",
            Method = $"Operating level against recorded silence, {kind.Method}",
            Standard = kind.Standard,
        };
        if (level is null)
            return reading.Unknown(OperatingLevel.WhyNot(capture));
        if (power <= 0)
            return reading.Unknown("There is digital silence: nothing was recorded there");
        return reading with
        {
            Value = Conversions.PowerToDb(level.Power / power),
            Uncertainty = Math.Sqrt(Math.Pow(Repeats.PowerToDb(expanded / power), 2) + level.ExpandedDb * level.ExpandedDb),
        };
    }

    private static (NoiseKind Kind, double Power, double Expanded) QuasiPeak(ReadOnlySpan<float> frames, int rateHz)
    {
        var reading = new float[frames.Length];
        new QuasiPeakMeter(rateHz).Process(frames, reading);
        // The pointer moves slowly: only stretches of a second and longer are nearly independent of each other.
        var settling = (int)Math.Min(QuasiPeakMeter.SettlingSeconds * rateHz, frames.Length / 2);
        var blocks = Math.Max(2, (frames.Length - settling) / rateHz);
        var size = (frames.Length - settling) / blocks;
        var means = new double[blocks];
        for (var b = 0; b < blocks; b++)
        {
            var sum = 0.0;
            foreach (var value in reading.AsSpan(settling + b * size, size))
                sum += value;
            means[b] = sum / size;
        }
        var (mean, expanded) = Repeats.Of(means);
        expanded *= PointerShare;
        // As a power, whose relative uncertainty is twice that of the voltage.
        return (NoiseKind.QuasiPeak, mean * mean, 2 * mean * expanded);
    }

    private static ReadingCurve ThirdOctaveCurve(SegmentSpectra spectra, int channel, string condition, int rateHz, double t)
    {
        int[] bands = [.. Enumerable.Range(LowestBand, HighestBand - LowestBand + 1).Where(b => ThirdOctaves.UpperHz(b) < rateHz / 2.0)];
        var powers = Array.ConvertAll(bands, b => spectra.Power(spectra.Weights(ThirdOctaves.LowerHz(b), ThirdOctaves.UpperHz(b))));
        return new ReadingCurve
        {
            Quantity = "noiseSpectrum",
            Channel = channel + 1,
            Condition = condition,
            XUnit = "Hz",
            YUnit = "dBFS",
            X = Array.ConvertAll(bands, ThirdOctaves.MidHz),
            Y = Array.ConvertAll(powers, p => p.Mean > 0 ? Conversions.PowerToDb(p.Mean) : double.NaN),
            Uncertainty = Array.ConvertAll(powers, p => Repeats.PowerToDb(t * p.StandardError / p.Mean)),
            Method = "Power of the spectrum's lines between the edges of each third octave; 0 dBFS is a root mean square of 1",
            Standard = "IEC 61260-1, base ten",
        };
    }

    private static Findings NotHeard(BenchCapture capture, int channel)
    {
        var reason = capture.WhyNot("silence");
        return new Findings
        {
            Readings =
            [
                .. NoiseKind.All.Select(k => Noise(k, channel, QuietStretch.Recorded, 1, 0).Unknown(reason)),
                .. NoiseKind.All.Select(k => SignalToNoise(k, channel, 1, 0, null, capture).Unknown(reason)),
            ],
        };
    }

    private static Findings WhatWasTaken(BenchCapture capture, IReadOnlyList<QuietStretch> stretches)
    {
        var others = stretches.Where(s => s.Name != QuietStretch.Recorded).ToArray();
        if (others.Length == 0)
            return Findings.None;
        var words = others.Select(s =>
            $"{Words.Clock(s.FirstFrame / (double)capture.SampleRateHz + capture.StartInFileSeconds)} for {Words.Duration(s.FrameCount / (double)capture.SampleRateHz)} as {s.Name}"
        );
        return new Findings
        {
            Notices =
            [
                new Notice("quiet-stretches", $"By how much less it hisses than the recorded silence, {Words.List([.. words])} was taken."),
            ],
        };
    }
}
