using Offtape.Passes.Listening;

namespace Offtape.Passes.Finding;

/// <summary>What is known of a capture before anything is looked for in it.</summary>
internal sealed class CaptureSound
{
    internal required int Index { get; init; }

    internal required Recording Recording { get; init; }

    /// <summary>What each channel is where nothing plays.</summary>
    internal required NoiseSpectrum[] Noise { get; init; }

    /// <summary>Peak level of each channel's 40 ms windows, dB.</summary>
    internal required double[] PeakDb { get; init; }

    internal double LengthSeconds => Recording.LengthSeconds;

    internal bool IsSilent => PeakDb.Max() < -110;

    internal static CaptureSound Of(int index, Recording recording, CancellationToken cancellation)
    {
        using var ear = new Ear(recording);
        var noise = new NoiseSpectrum[ear.ChannelCount];
        var peak = new double[ear.ChannelCount];
        for (var c = 0; c < noise.Length; c++)
        {
            noise[c] = NoiseSpectrum.Of(ear.Channel(c), cancellation);
            peak[c] = LevelCurve.Of(ear.Channel(c), cancellation).PeakDb;
        }
        return new CaptureSound
        {
            Index = index,
            Recording = recording,
            Noise = noise,
            PeakDb = peak,
        };
    }
}
