using System.Globalization;
using Offtape.Simulator;

namespace Offtape.Perf.Passes;

/// <summary>
/// What no map can know: `gaps COUNT`. How far a tape strays, between two moments at which its place is known, from the best guess that all of
/// the time before and after allows, for one who also knows the machine's spectrum of speed. The best linear guess from a known covariance
/// (kriging, Matheron 1963; for a Gaussian movement no other is better), covariance from the simulated machine's own truth over COUNT runs of a
/// minute. A stretch in which nothing is heard, as a dropout or the last tail of a sound, cannot be mapped better.
/// </summary>
internal static class GapBound
{
    private const double StepSeconds = 0.004;
    private const double ReachSeconds = 1.5;
    private const double RunSeconds = 60;
    private const int SampleRateHz = 32_000;

    // As well as a loud sound is mapped.
    private const double KnownSeconds = 1e-6;

    // The constant offset is not known: a centimetre of tape is as good as none.
    private const double OffsetSeconds = 0.1;

    private static readonly double[] GapSeconds = [0.05, 0.1, 0.2, 0.35, 0.5];

    internal static int Run(string[] arguments)
    {
        var count = arguments.Length > 0 ? int.Parse(arguments[0], CultureInfo.InvariantCulture) : 8;
        var machines = new (string Name, MachineModel Model)[]
        {
            ("typical deck, off tape", MachinePresets.TypicalDeck.OffTape()),
            ("typical deck, rewound", MachinePresets.TypicalDeck.Rewound()),
            ("worn deck, rewound", MachinePresets.WornDeck.Rewound()),
            ("four-track", MachinePresets.AtticFourTrack.Rewound()),
            ("four-track worn", MachinePresets.AtticFourTrackWorn.Rewound()),
        };
        Console.WriteLine("| machine | " + string.Join(" | ", GapSeconds.Select(g => $"{g * 1e3:0} ms: rms / middle, µs")) + " |");
        Console.WriteLine("| --- |" + string.Concat(GapSeconds.Select(_ => " --- |")));
        foreach (var (name, model) in machines)
        {
            var covariance = PlaceCovariance(SpeedCovariance(model, count));
            var cells = GapSeconds.Select(g => Left(covariance, g)).Select(l => $"{l.Rms * 1e6:0.0} / {l.Middle * 1e6:0.0}");
            Console.WriteLine($"| {name} | {string.Join(" | ", cells)} |");
        }
        return 0;
    }

    /// <summary>Of the speed's departure from its mean, by steps of lag.</summary>
    private static double[] SpeedCovariance(MachineModel model, int count)
    {
        var points = 2 * (int)(ReachSeconds / StepSeconds) + 1;
        var sums = new double[points];
        var silence = new float[model.TrackCount][];
        for (var c = 0; c < silence.Length; c++)
            silence[c] = new float[(int)((RunSeconds + 4) * SampleRateHz)];
        for (var i = 0; i < count; i++)
        {
            var truth = new SimulatedMachine(model, (ulong)(5000 + i)).Run(silence, SampleRateHz, new RunOptions()).TruthPerChannel[0];
            var places = Enumerable
                .Range(0, (int)(RunSeconds / StepSeconds) + 1)
                .Select(k => truth.CaptureAt(2 + k * StepSeconds))
                .ToArray();
            var speed = places.Skip(1).Zip(places, (later, earlier) => (later - earlier) / StepSeconds).ToArray();
            var mean = speed.Average();
            for (var lag = 0; lag < points; lag++)
            {
                double sum = 0;
                for (var k = lag; k < speed.Length; k++)
                    sum += (speed[k] - mean) * (speed[k - lag] - mean);
                sums[lag] += sum / (speed.Length * count);
            }
        }
        return sums;
    }

    /// <summary>Of the place, a point every step: the speed's, summed along both.</summary>
    private static double[,] PlaceCovariance(double[] speed)
    {
        var count = speed.Length;
        var place = new double[count, count];
        for (var i = 1; i < count; i++)
        for (var j = 1; j < count; j++)
            place[i, j] = place[i - 1, j] + place[i, j - 1] - place[i - 1, j - 1] + StepSeconds * StepSeconds * speed[Math.Abs(i - j)];
        for (var i = 0; i < count; i++)
        for (var j = 0; j < count; j++)
            place[i, j] += OffsetSeconds * OffsetSeconds;
        return place;
    }

    /// <summary>The deviation that is left in a gap in the middle, over all of it and at its middle.</summary>
    private static (double Rms, double Middle) Left(double[,] place, double gapSeconds)
    {
        var count = place.GetLength(0);
        var middle = count / 2;
        var half = gapSeconds / 2 / StepSeconds;
        var known = Enumerable.Range(0, count).Where(i => Math.Abs(i - middle) > half).ToArray();
        var lost = Enumerable.Range(0, count).Where(i => Math.Abs(i - middle) <= half).ToArray();
        var root = Factor(known, place);
        var variances = new List<double>();
        foreach (var at in lost)
        {
            // Forward substitution: the part of the place that the known ones explain.
            var part = new double[known.Length];
            var left = place[at, at];
            for (var i = 0; i < known.Length; i++)
            {
                var sum = place[at, known[i]];
                for (var j = 0; j < i; j++)
                    sum -= root[i][j] * part[j];
                part[i] = sum / root[i][i];
                left -= part[i] * part[i];
            }
            variances.Add(left);
        }
        return (Math.Sqrt(variances.Average()), Math.Sqrt(variances[variances.Count / 2]));
    }

    /// <summary>Cholesky factor of the known points' covariance with their error.</summary>
    private static double[][] Factor(int[] known, double[,] place)
    {
        var root = new double[known.Length][];
        for (var i = 0; i < root.Length; i++)
        {
            root[i] = new double[i + 1];
            for (var j = 0; j <= i; j++)
            {
                var sum = place[known[i], known[j]] + (i == j ? KnownSeconds * KnownSeconds : 0);
                for (var k = 0; k < j; k++)
                    sum -= root[i][k] * root[j][k];
                root[i][j] = i == j ? Math.Sqrt(sum) : sum / root[j][j];
            }
        }
        return root;
    }
}
