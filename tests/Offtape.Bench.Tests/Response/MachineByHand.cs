using Offtape.Tape;

namespace Offtape.Bench.Tests;

/// <summary>A capture of a check signal through a machine that a test writes out: no simulator, and time as exact as the test makes it.</summary>
internal static class MachineByHand
{
    private const double LeadSeconds = 0.5;

    /// <param name="parts">Parts or kinds of parts of the check signal.</param>
    /// <param name="machine">What it does to a channel's samples, in place; given the channel, from 0.</param>
    internal static BenchCapture Capture(string[] parts, Action<int, float[]> machine, int rate = 48_000, HowTaken how = HowTaken.Rewound)
    {
        var sheet = BenchSheetMaker.Make(new BenchSheetRequest { SampleRateHz = rate, Parts = parts });
        var channels = BenchSignal.Render(sheet);
        for (var c = 0; c < channels.Length; c++)
        {
            machine(c, channels[c]);
            channels[c] = [.. new float[(int)(LeadSeconds * rate)], .. channels[c]];
        }
        return new BenchCapture(channels, rate, how, sheet, TimeMap.Constant(LeadSeconds, 1, sheet.LengthSeconds), sheet.Parts);
    }

    /// <summary>Noise by twelve even draws: normal enough, root mean square 1.</summary>
    internal static double Normal(Random random)
    {
        var sum = -6.0;
        for (var i = 0; i < 12; i++)
            sum += random.NextDouble();
        return sum;
    }
}
