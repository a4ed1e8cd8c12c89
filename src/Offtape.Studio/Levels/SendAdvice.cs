using System.Text.Json.Serialization;

namespace Offtape.Studio;

/// <summary>How loud to send one sound to one channel of a machine.</summary>
/// <param name="Sound">What was measured of the sound.</param>
/// <param name="Machine">Name in the report; empty where it has none.</param>
/// <param name="Channel">From 1.</param>
/// <param name="OperatingLevelDbfs">Peak of the sine that stood for operating level in the bench's send.</param>
/// <param name="CurveHz">Frequency of the staircase that distortion was predicted from; null where there is none.</param>
/// <param name="Rows">Under, at and over operating level.</param>
/// <param name="NotKnown">What the report cannot tell, and what would.</param>
public sealed record SendAdvice(
    SoundProfile Sound,
    string Machine,
    int Channel,
    double OperatingLevelDbfs,
    double? CurveHz,
    IReadOnlyList<SendRow> Rows,
    IReadOnlyList<string> NotKnown
);

/// <summary>One level of <see cref="SendAdvice"/>; null is what the report cannot tell.</summary>
public sealed record SendRow
{
    /// <summary>"under", "at", "over" operating level.</summary>
    public required string Name { get; init; }

    /// <summary>What the loudest 10 ms come out at, against operating level, in dB.</summary>
    public required double OutputDb { get; init; }

    /// <summary>What they are sent at, against operating level, in dB; null where no step of the bench came out as loud.</summary>
    public double? SentDb { get; init; }

    /// <summary>Gain from the file to the send, in dB.</summary>
    public double? GainDb { get; init; }

    /// <summary>Highest sample in the send, as <c>send --level</c> takes it.</summary>
    public double? SendPeakDbfs { get; init; }

    /// <summary>Above full scale: the machine's input has to be turned up by this many dB and the bench taken again.</summary>
    public double OverFullScaleDb => Math.Max(0, SendPeakDbfs ?? 0);

    /// <summary>The tape or the interface does not give it.</summary>
    [JsonIgnore]
    public bool IsOutOfReach => SentDb is null || OverFullScaleDb > 0;

    /// <summary>What is added to the sound by the bend, against the sound, root mean square, in per cent.</summary>
    public double? DistortionPercent { get; init; }

    /// <summary>Share of the samples that are louder than the loudest step of the bench: what they add is guessed.</summary>
    public double ShareBeyond { get; init; }

    /// <summary>Level that the band from 5.6 to 18 kHz loses on the way, in dB, above 0; of a quiet sound, by the response.</summary>
    public double? TrebleLossDb { get; init; }

    /// <summary>What treble loses besides by its own loudness, from the staircase at 10 kHz.</summary>
    public double? TrebleCompressionDb { get; init; }

    /// <summary>The treble is louder than the loudest step at 10 kHz: it loses at least as much as said.</summary>
    public bool IsTrebleBeyond { get; init; }

    /// <summary>How far the tape's noise lies under the sound, RMS against RMS, 22.4 Hz to 22.4 kHz.</summary>
    public double? NoiseUnderDb { get; init; }

    /// <summary>The same noise A-weighted, against the unweighted sound.</summary>
    public double? WeightedNoiseUnderDb { get; init; }

    /// <summary>The noise when the return is brought back to the level of the file, RMS in dBFS.</summary>
    public double? NoiseDbfs { get; init; }

    /// <summary>How far it lies under what the quietest tenth of the sound stays below; negative where it is over it.</summary>
    public double? NoiseUnderQuietDb { get; init; }

    /// <summary>From here up every third octave has more noise than sound, in Hz; null where none has.</summary>
    public double? NoiseOverSoundFromHz { get; init; }
}
