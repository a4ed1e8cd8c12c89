namespace Offtape.Studio;

/// <summary>
/// What a sound asks of a tape: peak, how much it has under its peaks, where its energy lies. Of its loudest channel. Levels are of the file,
/// in dBFS; "as a sine" means the peak of a sine of the same power.
/// </summary>
public sealed record SoundProfile
{
    public required string Name { get; init; }

    public required double LengthSeconds { get; init; }

    /// <summary>Highest sample.</summary>
    public required double PeakDbfs { get; init; }

    /// <summary>Root mean square of all that sounds: stretches of 10 ms within 40 dB of the loudest.</summary>
    public required double RmsDbfs { get; init; }

    /// <summary>The loudest 10 ms, as a sine: what a peak programme meter would show (IEC 60268-10, type I, integrates over 10 ms).</summary>
    public required double LoudestDbfs { get; init; }

    /// <summary>Root mean square that a tenth of what sounds stays below.</summary>
    public required double QuietDbfs { get; init; }

    /// <summary>Of the band above 5.6 kHz, the level that a hundredth of what sounds is over, as a sine.</summary>
    public required double TrebleDbfs { get; init; }

    /// <summary>Middle of the spectrum: mean of the logarithm of frequency, by power, 20 Hz to 20 kHz.</summary>
    public required double MeanHz { get; init; }

    /// <summary>Root mean square of each third octave in dBFS; −∞ for an empty one.</summary>
    public required IReadOnlyDictionary<int, double> ThirdOctavesDbfs { get; init; }

    /// <summary>How often each size of a sample occurs.</summary>
    public required SampleSizes Sizes { get; init; }

    public double CrestDb => PeakDbfs - RmsDbfs;
}
