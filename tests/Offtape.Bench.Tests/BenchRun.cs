using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Bench.Tests;

/// <summary>Captures made by formula: the parts asked for, each channel as a test wants it, at the place where the sheet says or later.</summary>
internal static class BenchRun
{
    internal const int RateHz = 48_000;

    /// <summary>Peak of operating level in the send.</summary>
    internal static readonly double Operating = Conversions.DbToAmplitude(BenchSheetRequest.DefaultLevelDbfs);

    /// <summary>A sheet of these parts, its long tone shortened so that a test takes less time.</summary>
    internal static BenchSheet Sheet(params string[] parts)
    {
        var sheet = BenchSheetMaker.Make(new BenchSheetRequest { Parts = parts });
        return sheet.Parts.Any(p => p.Kind == BenchPartKind.SpeedTone)
            ? sheet with
            {
                Parts = [.. sheet.Parts.Select(p => p.Kind == BenchPartKind.SpeedTone ? p with { LengthSeconds = ShortToneSeconds } : p)],
            }
            : sheet;
    }

    internal const double ShortToneSeconds = 12;

    /// <summary>A capture of what the machine makes of the send, frame for frame.</summary>
    /// <param name="parts">Words for parts.</param>
    /// <param name="machine">Changes the channels of the send in place.</param>
    /// <param name="how">How it is said to be taken.</param>
    internal static BenchCapture Of(string[] parts, Action<float[][]> machine, HowTaken how = HowTaken.Rewound)
    {
        var sheet = Sheet(parts);
        var channels = Late(sheet, new double[sheet.ChannelCount]);
        machine(channels);
        return Of(sheet, channels, how);
    }

    internal static BenchCapture Of(BenchSheet sheet, float[][] channels, HowTaken how = HowTaken.Rewound, double leadSeconds = 0) =>
        new(channels, RateHz, how, sheet, TimeMap.Constant(leadSeconds, 1, sheet.LengthSeconds), sheet.Parts);

    /// <summary>The send with each channel late by its own part of a frame, from the parts' formulas at the moments wanted.</summary>
    internal static float[][] Late(BenchSheet sheet, params double[] secondsOfChannel)
    {
        var channels = new float[secondsOfChannel.Length][];
        for (var c = 0; c < channels.Length; c++)
        {
            channels[c] = new float[(int)((sheet.Parts.Max(p => p.StartSeconds + p.LengthSeconds) + 1) * RateHz)];
            foreach (var part in sheet.Parts.Where(p => p.Channels.Contains(c + 1)))
                PartSound.Add(part, sheet.OperatingLevelDbfs, -(part.StartSeconds + secondsOfChannel[c]) * RateHz, RateHz, channels[c]);
        }
        return channels;
    }

    /// <summary>Adds normal white noise of a root mean square.</summary>
    internal static void AddNoise(float[] channel, double rms, int seed)
    {
        var random = new Random(seed);
        // Pairs of normal values (G. E. P. Box and M. E. Muller, Ann. Math. Stat. 29, 1958).
        for (var i = 0; i < channel.Length; i += 2)
        {
            var size = rms * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble()));
            var (sine, cosine) = Math.SinCos(2 * Math.PI * random.NextDouble());
            channel[i] += (float)(size * sine);
            if (i + 1 < channel.Length)
                channel[i + 1] += (float)(size * cosine);
        }
    }

    internal static Reading Only(this Findings findings, string quantity, int? channel = null, string condition = "") =>
        findings.Readings.Single(r => r.Quantity == quantity && r.Channel == channel && r.Condition == condition);

    internal static ReadingCurve Curve(this Findings findings, string quantity, int? channel = null, string condition = "") =>
        findings.Curves.Single(r => r.Quantity == quantity && r.Channel == channel && r.Condition == condition);
}
