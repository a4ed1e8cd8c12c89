using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>Whether the parts of a check signal are wholly in a capture, by where they should stand and by their sound.</summary>
internal static class PartCheck
{
    private const int Windows = 24;
    private const double ClearOfNoiseDb = 6;

    // Overload bends the loud steps by less, and a dropout takes less of a window.
    private const double FallenDb = 22;
    private const double HeardRangeDb = 20;
    private const double LowestHz = 100;
    private const double HighestHz = 5000;
    private const double EdgeSlackSeconds = 0.01;

    // A hand that begins to record over it a second early is forgiven.
    private const double ErasureShare = 0.4;

    /// <summary>The channel in which a part is loudest.</summary>
    internal static float[] BestChannel(float[][] channels, int sampleRateHz, BenchPart part, TimeMap clock)
    {
        if (channels.Length == 1)
            return channels[0];
        var best = channels[0];
        var bestRms = -1.0;
        foreach (var channel in channels)
        {
            var rms = LevelTrack.Rms(Cut(channel, sampleRateHz, clock, part.StartSeconds, part.StartSeconds + part.LengthSeconds).Span);
            if (rms > bestRms)
                (best, bestRms) = (channel, rms);
        }
        return best;
    }

    /// <summary>RMS of each channel where nothing plays, in dB: the median over the pauses behind the parts.</summary>
    internal static double[] NoiseDb(float[][] channels, int sampleRateHz, BenchSheet sheet, TimeMap clock) =>
        [
            .. channels.Select(channel =>
            {
                var pauses = sheet
                    .Parts.Select(p =>
                        Cut(channel, sampleRateHz, clock, p.StartSeconds + p.LengthSeconds + 0.25, p.StartSeconds + p.LengthSeconds + 0.75)
                    )
                    .Where(s => s.Length > 0)
                    .Select(s => LevelTrack.RmsDb(s.Span))
                    .Order()
                    .ToArray();
                return pauses.Length == 0 ? double.NegativeInfinity : pauses[pauses.Length / 2];
            }),
        ];

    /// <summary>Why a part is not wholly there, as the end of a sentence; null when it is.</summary>
    internal static string? WhatIsMissing(
        BenchPart part,
        BenchSheet sheet,
        float[][] channels,
        double[] noiseDb,
        int sampleRateHz,
        TimeMap clock,
        IReadOnlyList<(double From, double To)> breaks
    )
    {
        var lengthSeconds = (double)channels[0].Length / sampleRateHz;
        var (start, end) = (part.StartSeconds, part.StartSeconds + part.LengthSeconds);
        if (clock.CaptureAt(end) < 0)
            return "the capture begins after it";
        if (clock.CaptureAt(start) > lengthSeconds)
            return "the capture ends before it";
        if (clock.CaptureAt(start) < -EdgeSlackSeconds)
            return "the capture begins within it";
        if (clock.CaptureAt(end) > lengthSeconds + EdgeSlackSeconds)
            return "the capture ends within it";
        if (breaks.Any(b => b.From < end && b.To > start))
            return "the tape did not run through between the slates on either side of it";
        if (part.Kind == BenchPartKind.Silence)
            return null;
        return Heard(part, sheet, channels, noiseDb, sampleRateHz, clock);
    }

    private static string? Heard(BenchPart part, BenchSheet sheet, float[][] channels, double[] noiseDb, int sampleRateHz, TimeMap clock)
    {
        var channel = BestChannel(channels, sampleRateHz, part, clock);
        var noise = noiseDb[Array.IndexOf(channels, channel)];
        var windows = Sounding(part, sheet)
            .Select(w => (w.From, w.WantedDb, HeardDb: LevelTrack.RmsDb(Cut(channel, sampleRateHz, clock, w.From, w.To).Span)))
            .ToArray();
        if (windows.Length == 0)
            return null;
        var loudest = windows.Max(w => w.HeardDb);
        if (!(loudest > noise + ClearOfNoiseDb) || loudest == double.NegativeInfinity)
            return "nothing is heard where it should stand";
        // A part may lie near the noise as a whole; what is asked is whether some of it fell away.
        var gains = windows.Select(w => w.HeardDb - w.WantedDb).Order().ToArray();
        var usual = gains[gains.Length / 2];
        var fallen = windows.Where(w => w.HeardDb < w.WantedDb + usual - FallenDb && w.WantedDb + usual > noise + ClearOfNoiseDb).ToArray();
        return fallen.Length <= windows.Length / 12
            ? null
            : $"{Words.Count(fallen.Length, "piece")} of {windows.Length} of it {(fallen.Length == 1 ? "is" : "are")} not heard, from "
                + $"{Words.Number(fallen[0].From - part.StartSeconds, 1)} s on";
    }

    // Pieces of a part that are near its loudest and within the band that every machine passes, with the level they were sent at.
    private static IEnumerable<(double From, double To, double WantedDb)> Sounding(BenchPart part, BenchSheet sheet)
    {
        // Low: what lies above its half is folded, and keeps its level.
        const int renderRateHz = 11_000;
        var pieces = new List<(double From, double To, double WantedDb)>();
        var count = part.Kind == BenchPartKind.Polarity ? PolarityPulses.Count : Windows;
        var length = part.LengthSeconds / count;
        var sweep = part.Kind == BenchPartKind.Sweep ? PartSound.SweepOf(part) : null;
        var audio = new float[(int)(length * renderRateHz)];
        for (var i = 0; i < count; i++)
        {
            // The second half of it is meant to be recorded over.
            if (part.Kind == BenchPartKind.Erasure && (i + 1) * length > ErasureShare * part.LengthSeconds)
                break;
            if (sweep is not null && (sweep.FrequencyHz(i * length) < LowestHz || sweep.FrequencyHz((i + 1) * length) > HighestHz))
                continue;
            Array.Clear(audio);
            PartSound.Add(part, sheet.OperatingLevelDbfs, i * length * renderRateHz, renderRateHz, audio);
            pieces.Add((part.StartSeconds + i * length, part.StartSeconds + (i + 1) * length, LevelTrack.RmsDb(audio)));
        }
        var loudest = pieces.Count == 0 ? 0 : pieces.Max(p => p.WantedDb);
        return pieces.Where(p => p.WantedDb > loudest - HeardRangeDb);
    }

    /// <summary>The frames of one channel in which a part stands.</summary>
    internal static ReadOnlySpan<float> Cut(float[] channel, int sampleRateHz, TimeMap clock, BenchPart part) =>
        Cut(channel, sampleRateHz, clock, part.StartSeconds, part.StartSeconds + part.LengthSeconds).Span;

    private static ReadOnlyMemory<float> Cut(float[] channel, int sampleRateHz, TimeMap clock, double fromSend, double toSend)
    {
        var from = (int)Math.Clamp(Math.Round(clock.CaptureAt(fromSend) * sampleRateHz), 0, channel.Length);
        var to = (int)Math.Clamp(Math.Round(clock.CaptureAt(toSend) * sampleRateHz), from, channel.Length);
        return channel.AsMemory(from, to - from);
    }
}
