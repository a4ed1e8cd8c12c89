using Offtape.Passes;
using Offtape.Signal;
using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Perf.Passes;

/// <summary>
/// `retimings COUNT`: what `lock` leaves against what the true map leaves (500 Hz to 4 kHz, third-octave gains and one delay matched), and how
/// far `steady` says it is from the grid and is.
/// </summary>
internal static class RetimingTrials
{
    private const int Rate = 48_000;

    internal static int Run(string[] arguments)
    {
        var count = arguments.Length > 0 ? int.Parse(arguments[0]) : 4;
        Console.WriteLine(
            "| machine | takes | lock leaves, dB under source | true map leaves | worst excess over the true map, dB | excess where the true map leaves 26 dB or more: worst level of lock | steady: worst of |stated - true| distance from grid, ms |"
        );
        Console.WriteLine("| --- | --- | --- | --- | --- | --- | --- |");
        foreach (
            var (name, model) in new[]
            {
                ("typical off tape", MachinePresets.TypicalDeck.OffTape()),
                ("typical rewound", MachinePresets.TypicalDeck.Rewound()),
                ("worn rewound", MachinePresets.WornDeck.Rewound()),
            }
        )
        {
            var rows = new List<(RecordingKind Kind, double Lock, double True, double Distance)>();
            for (var i = 0; i < count; i++)
                rows.AddRange(Pass(model, i));
            var worst = rows.MaxBy(r => r.Lock - r.True);
            var good = rows.Where(r => r.True <= -26).ToList();
            Console.WriteLine(
                $"| {name} | {rows.Count} | {rows.Average(r => r.Lock):0.0} | {rows.Average(r => r.True):0.0} | {worst.Lock - worst.True:0.00} ({worst.Kind}) | {(good.Count == 0 ? 0 : good.Max(r => r.Lock)):0.0} | {rows.Max(r => Math.Abs(r.Distance)):0.000} |"
            );
            foreach (var r in rows.OrderByDescending(r => r.Lock - r.True).Take(4))
                Console.Error.WriteLine($"{name} {r.Kind}: lock {r.Lock:0.0} true {r.True:0.0} distance {r.Distance:0.000}");
        }
        return 0;
    }

    private static List<(RecordingKind, double, double, double)> Pass(MachineModel model, int index)
    {
        using var rig = new PassRig();
        var kinds = Enum.GetValues<RecordingKind>();
        var phrases = kinds.Select((k, i) => Recordings.Phrase((ulong)(9000 + index * kinds.Length + i), k, 12)).ToArray();
        for (var k = 0; k < kinds.Length; k++)
            rig.AddSource(kinds[k].ToString(), [phrases[k]]);
        rig.Send();
        rig.Print(new SimulatedMachine(model, (ulong)(5000 + index)));
        var result = rig.Return(r => r with { Retimings = [Retiming.Steady, Retiming.Lock] });
        var (capture, _) = PassRig.Read(rig.CapturePath("capture"));
        var rows = new List<(RecordingKind, double, double, double)>();
        foreach (var take in result.Sheet.Takes.Where(t => t.Found))
        {
            var item = Array.FindIndex(kinds, k => take.Source == k + ".wav");
            var channel = take.CaptureChannels![0];
            var truth = rig.Truth[rig.CapturePath("capture")].TruthPerChannel[channel];
            var source = phrases[item];
            var positions = new double[source.Length];
            for (var n = 0; n < positions.Length; n++)
                positions[n] = truth.CaptureAt(rig.SendSeconds(item, (double)n / Rate)) * Rate;
            var byTruth = new float[source.Length];
            Retimer.Render(capture[channel], 0, positions, 1, byTruth);
            var locked = PassRig.Read(Path.Combine(rig.TakeFolder, take.Files["lock"])).Channels[0];
            var distance = SteadyDistance(take, s => truth.CaptureAt(rig.SendSeconds(item, s)));
            rows.Add((kinds[item], Residual(source, locked), Residual(source, byTruth), distance));
        }
        return rows;
    }

    /// <summary>By the true map: the distance that is left is what the true path is off the slow part that was taken out.</summary>
    private static double SteadyDistance(ReturnTake take, Func<double, double> truth)
    {
        var map = take.TimeMap!;
        const double step = 0.005;
        var count = (int)((map.SourceSeconds[^1] - map.SourceSeconds[0]) / step);
        var path = new double[count];
        for (var i = 0; i < count; i++)
            path[i] = truth(map.SourceSeconds[0] + i * step);
        var slope = (path[^1] - path[0]) / (count - 1);
        for (var i = 0; i < count; i++)
            path[i] -= i * slope;
        var slow = new double[count];
        SlowPart.Of(path, step, 0.3, slow);
        double worst = 0;
        for (var i = 0; i < count; i++)
            worst = Math.Max(worst, Math.Abs(path[i] - slow[i]));
        return take.GridDistanceMilliseconds["steady"] - worst * 1e3;
    }

    /// <summary>What is left of a take when the source, through third-octave gains and one delay, is taken out; dB against the take's own band.</summary>
    internal static double Residual(float[] source, float[] take)
    {
        var length = TransformLengthOf(source.Length);
        var transform = new RealTransform(length);
        var (xr, xi, yr, yi) = (new float[length / 2 + 1], new float[length / 2 + 1], new float[length / 2 + 1], new float[length / 2 + 1]);
        var padded = new float[length];
        source.CopyTo(padded, 0);
        transform.Forward(padded, xr, xi);
        Array.Clear(padded);
        take.AsSpan(0, Math.Min(take.Length, source.Length)).CopyTo(padded);
        transform.Forward(padded, yr, yi);
        var (first, end) = ((int)(500.0 * length / Rate), (int)(4000.0 * length / Rate));
        var (best, bestLag) = (double.PositiveInfinity, 0.0);
        for (var step = 20e-6; step > 0.05e-6; step /= 4)
        {
            var centre = bestLag;
            for (var k = -8; k <= 8; k++)
            {
                var lag = centre + k * step;
                var left = Left(lag);
                if (left < best)
                    (best, bestLag) = (left, lag);
            }
        }
        return best;

        double Left(double lag)
        {
            double left = 0,
                power = 0;
            // A third of an octave each, the gain of a bin interpolated between the middles of bands.
            var bands = 9;
            var (cross, own) = (new double[bands + 2], new double[bands + 2]);
            for (var k = first; k < end; k++)
            {
                var place = 3 * Math.Log2((double)k / first);
                var (b, f) = ((int)(place + 0.5), place + 0.5 - (int)(place + 0.5));
                var (c, s) = (
                    Math.Cos(2 * Math.PI * k * (double)Rate / length * lag),
                    Math.Sin(2 * Math.PI * k * (double)Rate / length * lag)
                );
                var (tr, ti) = (xr[k] * c + xi[k] * s, xi[k] * c - xr[k] * s);
                var (cr, pw) = (yr[k] * tr + yi[k] * ti, xr[k] * (double)xr[k] + xi[k] * (double)xi[k]);
                cross[b] += (1 - f) * cr;
                own[b] += (1 - f) * pw;
                cross[b + 1] += f * cr;
                own[b + 1] += f * pw;
            }
            for (var k = first; k < end; k++)
            {
                var place = 3 * Math.Log2((double)k / first);
                var (b, f) = ((int)(place + 0.5), place + 0.5 - (int)(place + 0.5));
                var gain = (1 - f) * cross[b] / (own[b] + 1e-20) + f * cross[b + 1] / (own[b + 1] + 1e-20);
                var (c, s) = (
                    Math.Cos(2 * Math.PI * k * (double)Rate / length * lag),
                    Math.Sin(2 * Math.PI * k * (double)Rate / length * lag)
                );
                var (er, ei) = (yr[k] - gain * (xr[k] * c + xi[k] * s), yi[k] - gain * (xi[k] * c - xr[k] * s));
                left += er * er + ei * ei;
                power += (double)yr[k] * yr[k] + (double)yi[k] * yi[k];
            }
            return 10 * Math.Log10(left / power);
        }
    }

    private static int TransformLengthOf(int frames)
    {
        var length = 1;
        while (length < frames)
            length *= 2;
        return length;
    }
}
