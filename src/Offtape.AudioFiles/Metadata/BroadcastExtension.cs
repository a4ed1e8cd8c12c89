namespace Offtape.AudioFiles;

/// <summary>
/// The fields of the `bext` chunk except its time reference: EBU Tech 3285 version 2, section 2.3. Texts longer than their field are cut
/// when written; characters outside Latin-1 become question marks.
/// </summary>
public sealed record BroadcastExtension
{
    /// <summary>At most 256 characters.</summary>
    public string Description { get; init; } = "";

    /// <summary>At most 32 characters.</summary>
    public string Originator { get; init; } = "";

    /// <summary>At most 32 characters.</summary>
    public string OriginatorReference { get; init; } = "";

    /// <summary>yyyy-mm-dd, or empty.</summary>
    public string OriginationDate { get; init; } = "";

    /// <summary>hh:mm:ss, or empty.</summary>
    public string OriginationTime { get; init; } = "";

    /// <summary>The SMPTE UMID, 64 bytes; empty when there is none.</summary>
    public IReadOnlyList<byte> Umid { get; init; } = [];

    /// <summary>Integrated loudness, LUFS, kept to two decimals; null when not measured.</summary>
    public double? LoudnessLufs { get; init; }

    /// <summary>Loudness range, LU.</summary>
    public double? LoudnessRangeLu { get; init; }

    /// <summary>Largest true peak, dBTP.</summary>
    public double? TruePeakDbtp { get; init; }

    /// <summary>Largest momentary loudness, LUFS.</summary>
    public double? MomentaryMaxLufs { get; init; }

    /// <summary>Largest short-term loudness, LUFS.</summary>
    public double? ShortTermMaxLufs { get; init; }

    /// <summary>Lines as in EBU R 98, each ended by CR LF: <c>A=PCM,F=48000,W=24,M=stereo,T=…</c>.</summary>
    public string CodingHistory { get; init; } = "";

    internal bool HasLoudness => (LoudnessLufs ?? LoudnessRangeLu ?? TruePeakDbtp ?? MomentaryMaxLufs ?? ShortTermMaxLufs) is not null;

    internal BroadcastExtension WithoutLoudness() =>
        this with
        {
            LoudnessLufs = null,
            LoudnessRangeLu = null,
            TruePeakDbtp = null,
            MomentaryMaxLufs = null,
            ShortTermMaxLufs = null,
        };
}
