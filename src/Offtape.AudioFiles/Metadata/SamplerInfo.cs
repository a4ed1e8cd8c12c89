namespace Offtape.AudioFiles;

/// <summary>How a sampler should play the file: the `smpl` chunk (Multimedia Programming Interface and Data Specifications, 1994).</summary>
public sealed record SamplerInfo
{
    /// <summary>MIDI manufacturer number; 0 for any.</summary>
    public uint Manufacturer { get; init; }

    public uint Product { get; init; }

    /// <summary>The duration of one frame in nanoseconds; null is written as the file's rate says.</summary>
    public uint? SamplePeriodNanoseconds { get; init; }

    /// <summary>The MIDI note at which the sound plays at its own pitch; 60 is middle C.</summary>
    public uint UnityNote { get; init; } = 60;

    /// <summary>How far above the unity note the sound is, 0x80000000 being 50 cents.</summary>
    public uint PitchFraction { get; init; }

    public uint SmpteFormat { get; init; }

    public uint SmpteOffset { get; init; }

    public IReadOnlyList<SampleLoop> Loops { get; init; } = [];

    /// <summary>Whatever the sampler's maker keeps after the loops.</summary>
    public IReadOnlyList<byte> MakerData { get; init; } = [];

    /// <summary>A frame's duration in whole nanoseconds, cut: 22 675 at 44.1 kHz.</summary>
    public static uint SamplePeriodNanosecondsAt(int sampleRateHz) => (uint)(1_000_000_000 / sampleRateHz);
}

/// <summary>A loop of a `smpl` chunk.</summary>
/// <param name="Id">The loop's number; may be that of a cue point.</param>
/// <param name="Kind">0 forwards, 1 forwards and backwards, 2 backwards.</param>
/// <param name="StartFrame">The first frame of the loop.</param>
/// <param name="EndFrame">The last frame of the loop, itself played.</param>
/// <param name="Fraction">A fraction of a frame for fine tuning, 0x80000000 being half a frame.</param>
/// <param name="PlayCount">How often it is played; 0 is for ever.</param>
public sealed record SampleLoop(uint Id, uint Kind, long StartFrame, long EndFrame, uint Fraction = 0, uint PlayCount = 0);
