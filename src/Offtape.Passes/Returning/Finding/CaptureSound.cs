using Offtape.Base;
using Offtape.Passes.Listening;
using Offtape.Tape;

namespace Offtape.Passes.Finding;

/// <summary>What is known of a capture before any sound is looked for in it.</summary>
internal sealed class CaptureSound
{
    // Channels of one machine differ by its azimuth and no more.
    private const double SameUnitSeconds = 0.01;

    internal required int Index { get; init; }

    internal required Recording Recording { get; init; }

    /// <summary>Level of each channel.</summary>
    internal required LevelCurve[] Levels { get; init; }

    /// <summary>What each channel is where nothing plays.</summary>
    internal required NoiseSpectrum[] Noise { get; init; }

    /// <summary>Slate units in order of time; what several channels heard at one time counts once.</summary>
    internal required IReadOnlyList<DetectedSlate> Slates { get; init; }

    internal double LengthSeconds => Recording.LengthSeconds;

    internal bool IsSilent => Levels.All(l => l.PeakDb < -110);

    internal static CaptureSound Of(int index, Recording recording, bool withSlates, JobProgress progress, CancellationToken cancellation)
    {
        var channelCount = recording.Format.ChannelCount;
        var scans = new ChannelScan[channelCount];
        var total = recording.LengthSeconds * WorkingSignal.UsualRateHz * channelCount;
        long done = 0;
        Parallel.For(
            0,
            channelCount,
            new ParallelOptions { CancellationToken = cancellation, MaxDegreeOfParallelism = Environment.ProcessorCount },
            channel =>
            {
                using var ear = new Ear(recording);
                void Heard(int frames) =>
                    progress.Report("listening", Interlocked.Add(ref done, frames) / total, $"listening to {recording.Name}");
                scans[channel] = ChannelScan.Of(ear.Channel(channel), withSlates, Heard, cancellation);
            }
        );
        var slates = new List<DetectedSlate>();
        foreach (var unit in scans.SelectMany(s => s.Slates).OrderByDescending(u => u.Strength + (u.Code is null ? 0 : 1)))
        {
            if (!slates.Exists(m => Math.Abs(m.CentreSeconds - unit.CentreSeconds) < SameUnitSeconds))
                slates.Add(unit);
        }
        return new CaptureSound
        {
            Index = index,
            Recording = recording,
            Levels = [.. scans.Select(s => s.Level)],
            Noise = [.. scans.Select(s => s.Noise)],
            Slates = [.. slates.OrderBy(m => m.CentreSeconds)],
        };
    }
}
