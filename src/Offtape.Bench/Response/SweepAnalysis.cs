using Offtape.Base;

namespace Offtape.Bench;

/// <summary>All sweeps of a capture, read once for everything that is made of them.</summary>
internal sealed class SweepAnalysis
{
    private SweepAnalysis(IReadOnlyList<SweepReading> readings) => Readings = readings;

    /// <summary>In the order of the sheet, channel by channel; sweeps that the converter clipped are left out.</summary>
    internal IReadOnlyList<SweepReading> Readings { get; }

    internal static SweepAnalysis Of(BenchCapture capture, CancellationToken cancellation)
    {
        var jobs = (
            from part in capture.Of(BenchPartKind.Sweep)
            where !capture.Clipped.Contains(part.Name)
            from channel in part.Channels
            where channel <= capture.ChannelCount
            select (Part: part, Channel: channel - 1)
        ).ToArray();
        var readings = new SweepReading[jobs.Length];
        // A sheet's sweeps are of one shape; should one not be, it gets a reader of its own.
        foreach (var shape in Enumerable.Range(0, jobs.Length).GroupBy(i => Shape(jobs[i].Part)))
        {
            var options = new ParallelOptions { CancellationToken = cancellation };
            Parallel.ForEach(
                shape,
                options,
                () => new SweepReader(jobs[shape.First()].Part, capture.Sheet.OperatingLevelDbfs, capture.SampleRateHz),
                (i, _, reader) =>
                {
                    readings[i] = reader.Read(capture, jobs[i].Part, jobs[i].Channel);
                    return reader;
                },
                _ => { }
            );
        }
        var sound = SweepDropouts.Sound(readings);
        return new SweepAnalysis([.. readings.Select((r, i) => r with { IsFollowed = sound[i] })]);
    }

    /// <summary>Levels that were swept, rising.</summary>
    internal IEnumerable<double> LevelsDb => Readings.Select(r => r.Part.LevelDb).Distinct().Order();

    internal IEnumerable<int> Channels => Readings.Select(r => r.Channel).Distinct().Order();

    internal IReadOnlyList<SweepReading> Of(int channel, double levelDb) =>
        [.. Readings.Where(r => r.Channel == channel && r.Part.LevelDb == levelDb)];

    /// <summary>The response of a channel at a level; null where it has none.</summary>
    internal ChannelResponse? Response(int channel, double levelDb)
    {
        var own = Of(channel, levelDb);
        if (own.Count == 0)
            return null;
        SweepReading[] all = [.. Readings.Where(r => r.Channel == channel)];
        return ChannelResponse.Of(own, BassSpread.Db(all, ChannelResponse.FollowedFromHz), SweepDifferences.Of(all, 3)[0].MiddleDb);
    }

    /// <summary>A level against operating level as conditions have it: <c>−20 dB</c>, <c>0 dB</c>, <c>+6 dB</c>.</summary>
    internal static string Words(double levelDb) => Base.Words.Signed(levelDb, 0) + " dB";

    private static (double?, double?, double) Shape(BenchPart part) => (part.FromHz, part.ToHz, part.LengthSeconds);
}
