using System.Numerics;
using Offtape.Passes;
using Offtape.Signal;
using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Perf.Passes;

/// <summary>
/// `steady COUNT`: how much of the tape's own movement `steady` keeps above twice its corner. Sources are stereo: a phrase of a real recording,
/// and beside it a quiet tone, whose phase in the finished take says how far that moves; the machine's truth says how far it should.
/// </summary>
internal static class SteadyTrials
{
    private const int Rate = Recordings.SampleRateHz;
    private const double CornerHz = 0.3;
    private const double ToneHz = 3000;
    private const double ToneLevel = 0.03;
    private const double Seconds = 20;
    private const int HopFrames = Rate / 200;
    private const int WindowFrames = Rate / 50;

    // Twice the corner and up; above 20 Hz the movement is small against the tape's noise in the tone.
    private static readonly double[] EdgesHz = [2 * CornerHz, 1.25, 2.5, 5, 10, 20];

    internal static int Run(string[] arguments)
    {
        var count = arguments.Length > 0 ? int.Parse(arguments[0]) : 2;
        var bands = EdgesHz.Zip(EdgesHz.Skip(1)).Append((First: EdgesHz[0], Second: EdgesHz[^1])).ToArray();
        Console.WriteLine(
            "| machine | takes | "
                + string.Join(" | ", bands.Select(b => $"{b.First:0.##} to {b.Second:0.##} Hz: mean (least, most)"))
                + " |"
        );
        Console.WriteLine("| --- | --- |" + string.Concat(bands.Select(_ => " --- |")));
        foreach (
            var (name, model) in new[]
            {
                ("typical off tape", MachinePresets.TypicalDeck.OffTape()),
                ("typical rewound", MachinePresets.TypicalDeck.Rewound()),
                ("worn rewound", MachinePresets.WornDeck.Rewound()),
            }
        )
        {
            var takes = Enumerable.Range(0, count).SelectMany(i => Pass(model, i, bands)).ToList();
            var cells = bands.Select(
                (_, b) => $"{takes.Average(t => t[b]):0.000} ({takes.Min(t => t[b]):0.000}, {takes.Max(t => t[b]):0.000})"
            );
            Console.WriteLine($"| {name} | {takes.Count} | {string.Join(" | ", cells)} |");
        }
        return 0;
    }

    /// <summary>By take, the share of the movement that is kept in each band.</summary>
    private static List<double[]> Pass(MachineModel model, int index, (double First, double Second)[] bands)
    {
        using var rig = new PassRig();
        var kinds = Enum.GetValues<RecordingKind>();
        foreach (var kind in kinds)
        {
            var phrase = Recordings.Phrase((ulong)(9500 + index * kinds.Length + (int)kind), kind, Seconds);
            var tone = phrase.Select((_, n) => (float)(ToneLevel * Math.Sin(2 * Math.PI * ToneHz * n / Rate))).ToArray();
            rig.AddSource(kind.ToString(), [phrase, tone]);
        }
        rig.Send();
        rig.Print(new SimulatedMachine(model, (ulong)(5500 + index)));
        var result = rig.Return(r => r with { Retimings = [Retiming.Steady] });
        var shares = new List<double[]>();
        foreach (var take in result.Sheet.Takes.Where(t => t.Found))
        {
            var item = Array.FindIndex(kinds, k => take.Source == k + ".wav");
            var truth = rig.Truth[rig.CapturePath("capture")].TruthPerChannel[take.CaptureChannels![^1]];
            var sound = PassRig.Read(Path.Combine(rig.TakeFolder, take.Files["steady"])).Channels[1];
            var kept = Movement(sound);
            var places = Enumerable
                .Range(0, (int)(Seconds * Rate))
                .Select(n => truth.CaptureAt(rig.SendSeconds(item, (double)n / Rate)))
                .ToArray();
            // In seconds of the source; what comes late in the capture is heard late, and the sound runs behind.
            var slope = (places[^1] - places[0]) * Rate / (places.Length - 1);
            var whole = Smoothed([.. places.Select(c => -c / slope)]);
            shares.Add([.. bands.Select(b => Share(kept, whole, b.First, b.Second))]);
        }
        return shares;
    }

    /// <summary>Seconds of source by which the tone runs ahead, every hop.</summary>
    private static double[] Movement(float[] sound)
    {
        var window = new double[WindowFrames];
        Windows.Hann(window, WindowForm.Periodic);
        var movement = new double[(sound.Length - WindowFrames) / HopFrames];
        var last = 0.0;
        for (var i = 0; i < movement.Length; i++)
        {
            var sum = Complex.Zero;
            for (var k = 0; k < WindowFrames; k++)
            {
                var n = i * HopFrames + k;
                sum += window[k] * sound[n] * Complex.FromPolarCoordinates(1, -2 * Math.PI * (ToneHz * n / Rate % 1));
            }
            var phase = sum.Phase;
            last = phase - 2 * Math.PI * Math.Round((phase - last) / (2 * Math.PI));
            movement[i] = last / (2 * Math.PI * ToneHz);
        }
        return movement;
    }

    /// <summary>The same windows over a movement that is known everywhere.</summary>
    private static double[] Smoothed(double[] places)
    {
        var window = new double[WindowFrames];
        Windows.Hann(window, WindowForm.Periodic);
        var sum = window.Sum();
        var smoothed = new double[(places.Length - WindowFrames) / HopFrames];
        for (var i = 0; i < smoothed.Length; i++)
        {
            for (var k = 0; k < WindowFrames; k++)
                smoothed[i] += window[k] / sum * places[i * HopFrames + k];
        }
        return smoothed;
    }

    /// <summary>How much of the whole movement stands in what is kept, by least squares over a band.</summary>
    private static double Share(double[] kept, double[] whole, double lowHz, double highHz)
    {
        var count = Math.Min(kept.Length, whole.Length);
        var (k, w) = (Spectrum(kept, count), Spectrum(whole, count));
        double cross = 0,
            power = 0;
        for (var bin = 0; bin < k.Length; bin++)
        {
            var hertz = bin * (double)Rate / HopFrames / (2 * (k.Length - 1));
            if (hertz < lowHz || hertz >= highHz)
                continue;
            cross += (k[bin] * Complex.Conjugate(w[bin])).Real;
            power += w[bin].Magnitude * w[bin].Magnitude;
        }
        return cross / power;
    }

    private static Complex[] Spectrum(double[] values, int count)
    {
        var length = (int)BitOperations.RoundUpToPowerOf2((uint)count);
        var slope = (values[count - 1] - values[0]) / (count - 1);
        var line = Enumerable.Range(0, count).Select(i => values[i] - values[0] - slope * i).ToArray();
        var mean = line.Average();
        var window = new double[count];
        Windows.Hann(window, WindowForm.Periodic);
        // Microseconds, for single precision.
        var padded = new float[length];
        for (var i = 0; i < count; i++)
            padded[i] = (float)(1e6 * window[i] * (line[i] - mean));
        var (re, im) = (new float[length / 2 + 1], new float[length / 2 + 1]);
        new RealTransform(length).Forward(padded, re, im);
        return [.. re.Zip(im, (r, i) => new Complex(r, i))];
    }
}
