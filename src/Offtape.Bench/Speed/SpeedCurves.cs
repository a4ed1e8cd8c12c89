using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>The speed curve and its spectra, thinned to what a page can show.</summary>
internal static class SpeedCurves
{
    private const double PlottedHz = 100;

    internal static IReadOnlyList<ReadingCurve> Of(ToneMeasurement m, HowTaken how, WobbleComb? comb)
    {
        var heard =
            how == HowTaken.OffTape ? ", as heard off tape"
            : how == HowTaken.Rewound ? ", recording and replay together"
            : "";
        var (hz, plain, weighted) = Spectrum(m, how, comb);
        var method = "peak of a line with the power of a twelfth of an octave, or of what the stretch resolves where that is wider";
        if (how == HowTaken.OffTape)
            method += comb is null ? ", as heard off tape" : ", the heads' distance undone where it can be";
        return
        [
            new ReadingCurve
            {
                Quantity = "speed",
                XUnit = "s",
                YUnit = "%",
                X = Seconds(m, out var speed),
                Y = speed,
                Method = "speed against its mean, means of a hundredth of a second" + heard,
            },
            new ReadingCurve
            {
                Quantity = "speedSpectrum",
                XUnit = "Hz",
                YUnit = "%",
                X = hz,
                Y = plain,
                Method = method,
            },
            new ReadingCurve
            {
                Quantity = "speedSpectrumWeighted",
                XUnit = "Hz",
                YUnit = "%",
                X = hz,
                Y = weighted,
                Method = "the same, weighted",
                Standard = "AES6-2008, IEC 60386",
            },
        ];
    }

    private static double[] Seconds(ToneMeasurement m, out double[] speed)
    {
        var step = Math.Max(1, (int)Math.Round(m.Curve.RateHz / PlottedHz));
        var count = m.DeviationPercent.Length / step;
        var seconds = new double[count];
        speed = new double[count];
        for (var i = 0; i < count; i++)
        {
            var (sum, heard) = (0.0, 0);
            for (var k = i * step; k < (i + 1) * step; k++)
            {
                sum += m.Curve.IsGap[k] ? 0 : m.DeviationPercent[k];
                heard += m.Curve.IsGap[k] ? 0 : 1;
            }
            seconds[i] = m.StartSeconds + (i + 0.5) * step / m.Curve.RateHz;
            speed[i] = 2 * heard > step ? sum / heard : double.NaN;
        }
        return seconds;
    }

    private static (double[] Hz, double[] Plain, double[] Weighted) Spectrum(ToneMeasurement m, HowTaken how, WobbleComb? comb)
    {
        var (hz, plain, weighted) = (new List<double>(), new List<double>(), new List<double>());
        for (var k = 0; ; k++)
        {
            var middle = 0.1 * Math.Pow(2, k / 12.0);
            if (middle > m.Curve.BandHz)
                break;
            if (middle < m.Spectrum.LobeHz)
                continue;
            var half = Math.Max(middle * (Math.Pow(2, 1 / 24.0) - 1), 0.5 * m.Spectrum.LobeHz);
            var noise = m.NoiseDensityAt(middle) * 2 * half;
            var power = Math.Max(0, m.Spectrum.PowerBetween(middle - half, middle + half) - noise);
            var undo = how == HowTaken.OffTape && comb is { } c ? c.Undo(middle) : 1;
            hz.Add(middle);
            plain.Add(Math.Sqrt(2 * power) * undo);
            weighted.Add(plain[^1] * Math.Pow(10, WowFlutterWeighting.GainDbAt(middle) / 20));
        }
        return ([.. hz], [.. plain], [.. weighted]);
    }
}
