using Offtape.Signal;
using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>
/// Measures a recorded tone: finds it, demodulates it, reads its figures and takes the noise out of them. What noise adds is found by
/// adding as much again, several times, and looking how far each reading moves: J. R. Cook and L. A. Stefanski, "Simulation-Extrapolation
/// Estimation in Parametric Measurement Error Models", JASA 89 (1994), here on the squares of readings, as noise and wobble add in power.
/// </summary>
internal static class ToneMeter
{
    /// <summary>A tone shorter than this has no figure of wow and flutter: AES6-2008 asks for 5 s.</summary>
    internal const double LeastSeconds = 5;

    /// <summary>DIN 45 500 sheet 4 takes the mean speed over 30 s.</summary>
    internal const double MeanOverSeconds = 30;

    private const int NoiseDraws = 4;

    // Fades, and the recorder's own beginning and end.
    private const double MarginSeconds = 0.1;

    private const int MostLines = 16;

    // The filters before the readout, and the curve between its values: measured with tones of known modulation.
    private const double SystematicShare = 1.2e-5;

    // Of the noise in a lobe, what the floor that is taken off a line is unsure by.
    private const double TakenFloorShare = 0.3;

    // What is bridged rings on for a moment behind a gap.
    private const double GapShare = 0.05;

    // How well what noise adds is known, and how far the scatter of a few draws falls short of a reading's own: found by trial on simulated
    // machines, in the order of WobbleFigures.ToArray. Percentiles and peaks hang on few values, an RMS on all.
    private static readonly double[] TakenShares = [0.3, 0.3, 0.1, 0.3, 0.1];
    private static readonly double[] Scatters = [2.1, 1.6, 0.8, 1.6, 1.15];

    /// <summary>The measurement, or null where no tone of at least <see cref="LeastSeconds"/> is heard.</summary>
    /// <param name="channels">Recordings of one tone, of one length.</param>
    /// <param name="sampleRateHz">Their rate.</param>
    internal static ToneMeasurement? Measure(IReadOnlyList<ReadOnlyMemory<float>> channels, int sampleRateHz)
    {
        var found = new SteadyTone?[channels.Count];
        Parallel.For(0, channels.Count, i => found[i] = SteadyToneFinder.Find(channels[i].Span, sampleRateHz, LeastSeconds));
        var longest = found.Where(f => f is not null).MaxBy(f => f!.Value.FrameCount);
        if (longest is not { } tone)
            return null;
        var heard = new List<ReadOnlyMemory<float>>();
        var margin = (int)(MarginSeconds * sampleRateHz);
        var (from, to) = (tone.StartFrame + margin, tone.EndFrameExcl - margin);
        for (var i = 0; i < channels.Count; i++)
            if (found[i] is { } other && Math.Abs(other.FrequencyHz / tone.FrequencyHz - 1) < 0.03)
                heard.Add(channels[i][from..to]);
        var curve = ToneDemodulator.Demodulate(heard, sampleRateHz, tone.FrequencyHz);
        return curve is null ? null : Read(curve, tone, (double)from / sampleRateHz);
    }

    private static ToneMeasurement Read(ToneCurve curve, SteadyTone tone, double fromSeconds)
    {
        var all = Mean(curve.FrequencyHz);
        var deviation = Array.ConvertAll(curve.FrequencyHz, f => (f / all - 1) * 100);
        var count = Math.Min(deviation.Length, (int)Math.Round(MeanOverSeconds * curve.RateHz));
        var first = (deviation.Length - count) / 2;
        var mean = Mean(curve.AlikeHz.AsSpan(first, count));
        var raw = WobbleReadout.Read(deviation, curve.RateHz, curve.IsGap);
        var (figures, sigmas, floor) = WithoutNoise(curve, deviation, all, raw);
        var spectrum = WobbleSpectrum.Of(deviation, curve.RateHz);
        var gapSigma = GapSigmaSeconds(curve) * raw.UnweightedRmsPercent;
        var length = count / curve.RateHz;
        // Two ends of the phase, each as uncertain as the noise within the curve's band.
        var phaseSigma = Math.Sqrt(2 * curve.PhaseNoiseDensity * curve.BandHz) / (2 * Math.PI * length * all) * 100;
        var start = fromSeconds + curve.StartSeconds;
        return new ToneMeasurement
        {
            Tone = tone,
            Curve = curve,
            DeviationPercent = deviation,
            StartSeconds = start,
            MeanHz = mean,
            MeanSeconds = length,
            MeanFromSeconds = start + first / curve.RateHz,
            MeanSigmaPercent = Math.Sqrt(phaseSigma * phaseSigma + Math.Pow(gapSigma / length, 2)) + 1e-6,
            DriftPercent = StraightLine.Through(curve.AlikeHz).Rise / all * 100,
            // A gap at an end tilts the line by up to six times its share.
            DriftSigmaPercent = 2.5 * Math.Sqrt(phaseSigma * phaseSigma + Math.Pow(gapSigma / curve.LengthSeconds, 2)) + 1e-6,
            Raw = raw,
            Figures = figures,
            FigureSigmas = sigmas,
            Floor = floor,
            Spectrum = spectrum,
            Lines = HeardLines(curve, spectrum, all),
        };
    }

    private static (double[] Figures, double[] Sigmas, double[] Floor) WithoutNoise(
        ToneCurve curve,
        double[] deviation,
        double meanHz,
        WobbleFigures raw
    )
    {
        var read = raw.ToArray();
        var (more, alone) = (new double[NoiseDraws][], new double[read.Length]);
        Parallel.For(
            0,
            NoiseDraws,
            draw =>
            {
                var noise = curve.DrawNoise(draw + 1);
                for (var i = 0; i < noise.Length; i++)
                    noise[i] *= 100 / meanHz;
                if (draw == 0)
                    alone = WobbleReadout.Read(noise, curve.RateHz, curve.IsGap).ToArray();
                for (var i = 0; i < noise.Length; i++)
                    noise[i] += deviation[i];
                more[draw] = WobbleReadout.Read(noise, curve.RateHz, curve.IsGap).ToArray();
            }
        );
        var (figures, sigmas) = (new double[read.Length], new double[read.Length]);
        var gapShare = curve.GapSeconds / curve.LengthSeconds;
        for (var k = 0; k < read.Length; k++)
        {
            var square = more.Average(m => m[k] * m[k]);
            figures[k] = Math.Sqrt(Math.Max(0, 2 * read[k] * read[k] - square));
            var mean = more.Average(m => m[k]);
            var variance = more.Sum(m => Math.Pow(m[k] - mean, 2)) / (NoiseDraws - 1);
            var taken = read[k] - figures[k];
            var noise = Scatters[k] * Scatters[k] * (variance + Math.Pow(TakenShares[k] * taken, 2));
            sigmas[k] = Math.Sqrt(noise + Math.Pow((SystematicShare + GapShare * gapShare) * read[k], 2));
        }
        return (figures, sigmas, alone);
    }

    private static HeardLine[] HeardLines(ToneCurve curve, WobbleSpectrum spectrum, double meanHz)
    {
        var level = WobbleSpectrum.Of(curve.LevelNepers, curve.RateHz);
        var lines = SpeedLineFinder.Find(spectrum, curve.BandHz, MostLines);
        return
        [
            .. lines.Select(line =>
            {
                var index = line.PeakPercent / 100 * meanHz / line.FrequencyHz;
                var (low, high) = (line.FrequencyHz - spectrum.LobeHz, line.FrequencyHz + spectrum.LobeHz);
                var levelPeak = Math.Sqrt(2 * level.PowerBetween(low, high));
                var density = curve.PhaseNoiseDensity * Math.Pow(line.FrequencyHz / meanHz * 100, 2);
                // Of a sine in noise, the peak is as uncertain as the noise in one lobe; what is taken off for the wobble between lines adds to that.
                var sigma = Math.Sqrt(density * 1.5 / spectrum.LengthSeconds * (1 + TakenFloorShare));
                return new HeardLine(line, sigma, levelPeak > 0.5 * index && levelPeak < 2 * index && line.FrequencyHz > 5);
            }),
        ];
    }

    // Each gap is bridged by a line that may be off by somewhat more than the wobble's size for all of the gap.
    private static double GapSigmaSeconds(ToneCurve curve)
    {
        var (sum, length) = (0.0, 0);
        for (var i = 0; i <= curve.IsGap.Length; i++)
        {
            if (i < curve.IsGap.Length && curve.IsGap[i])
            {
                length++;
                continue;
            }
            sum += Math.Pow(length / curve.RateHz, 2);
            length = 0;
        }
        return 1.3 * Math.Sqrt(sum);
    }

    private static double Mean(ReadOnlySpan<double> values)
    {
        var sum = 0.0;
        foreach (var value in values)
            sum += value;
        return sum / values.Length;
    }
}
