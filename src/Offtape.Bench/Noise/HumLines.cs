using Offtape.Signal;

namespace Offtape.Bench;

/// <summary>Lines of mains hum in a quiet stretch.</summary>
/// <param name="MainsHz">The frequency found, near 50 or 60.</param>
/// <param name="Lines">Those that stand out of the noise, by rising number of the harmonic (1 is the mains frequency itself).</param>
/// <param name="LimitPower">What any line that does not stand out stays under, as a mean square.</param>
internal sealed record HumLines(double MainsHz, IReadOnlyList<HumLine> Lines, double LimitPower)
{
    internal const int HarmonicCount = 10;

    private const double HighestHz = 620;

    // Grids hold their frequency within 0.2 Hz; a tape that was recorded with hum may run 0.5 % off.
    private const double SearchHz = 0.4;

    // Noise alone exceeds its mean this many times with a chance of e^−14, over all the lines and frequencies looked at below 1 in 1000.
    private const double StandsOut = 14;

    private const double Padding = 8;

    internal static HumLines Find(ReadOnlySpan<float> frames, int sampleRateHz, IReadOnlyList<double> mainsHz)
    {
        var spectrum = new HumSpectrum(frames, sampleRateHz, HighestHz, Padding);
        var best = (Score: double.NegativeInfinity, Hz: 0.0);
        foreach (var nominal in mainsHz)
        {
            var floors = Floors(spectrum, nominal);
            var step = spectrum.BinHz / HarmonicCount * 2;
            for (var hz = nominal - SearchHz; hz <= nominal + SearchHz; hz += step)
            {
                var score = 0.0;
                for (var h = 1; h <= HarmonicCount; h++)
                    score += Math.Log(Math.Max(1, spectrum.PowerAt(h * hz) / Math.Max(floors[h - 1], 1e-30)));
                if (score > best.Score)
                    best = (score, hz);
            }
        }
        return Read(spectrum, best.Hz);
    }

    private static HumLines Read(HumSpectrum spectrum, double mainsHz)
    {
        var floors = Floors(spectrum, mainsHz);
        var lines = new List<HumLine>();
        var limit = 0.0;
        for (var h = 1; h <= HarmonicCount; h++)
        {
            var (power, floor) = (spectrum.PeakAbout(h * mainsHz), floors[h - 1]);
            // The line's power and the noise's add up; the noise in phase with it moves it by half of that power.
            if (floor > 0 && power > StandsOut * floor)
                lines.Add(new HumLine(h, power - floor, 2 * Math.Sqrt(2 * floor * (power - floor))));
            else
                limit = Math.Max(limit, StandsOut * floor);
        }
        return new HumLines(mainsHz, lines, limit);
    }

    private static double[] Floors(HumSpectrum spectrum, double mainsHz) =>
        [.. Enumerable.Range(1, HarmonicCount).Select(h => spectrum.FloorAbout(h * mainsHz))];
}

/// <summary>One line.</summary>
/// <param name="Harmonic">From 1.</param>
/// <param name="Power">Mean square of its sine.</param>
/// <param name="Expanded">Expanded uncertainty of that.</param>
internal sealed record HumLine(int Harmonic, double Power, double Expanded);
