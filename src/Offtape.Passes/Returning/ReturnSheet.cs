using System.Text.Json;
using System.Text.Json.Serialization;
using Offtape.AudioFiles;
using Offtape.Base;

namespace Offtape.Passes;

/// <summary>What a return found and wrote: return.json.</summary>
public sealed record ReturnSheet
{
    public const int CurrentFormatVersion = 1;
    public const string FileName = "return.json";

    public int FormatVersion { get; init; } = CurrentFormatVersion;
    public required IReadOnlyList<ReturnCapture> Captures { get; init; }

    /// <summary>The retimings of this run, separated by commas.</summary>
    public required string Retime { get; init; }
    public required IReadOnlyList<ReturnPass> Passes { get; init; }
    public required IReadOnlyList<ReturnTake> Takes { get; init; }
    public required IReadOnlyList<string> UnmatchedCaptures { get; init; }

    /// <summary>Sources that came back more than once, and how their takes lie to each other.</summary>
    public IReadOnlyList<ReturnTries> Tries { get; init; } = [];

    /// <summary>What concerns the whole return rather than one take.</summary>
    public IReadOnlyList<ReturnWarning> Warnings { get; init; } = [];

    /// <summary>All that was asked, so that it can be run again; null in the sheet of an older program.</summary>
    public ReturnAsked? Asked { get; init; }

    /// <summary>When it was written, UTC, as 2026-05-31T12:00:00Z; null in the sheet of an older program.</summary>
    public string? MadeAt { get; init; }

    public string ToJson() => JsonSerializer.Serialize(this, ReturnSheetJson.Default.ReturnSheet);

    /// <summary>Reads a sheet; null where there is none or it cannot be understood (an older or newer program's).</summary>
    public static ReturnSheet? TryLoad(string path)
    {
        try
        {
            return File.Exists(path) ? JsonSerializer.Deserialize(File.ReadAllText(path), ReturnSheetJson.Default.ReturnSheet) : null;
        }
        catch (Exception error) when (error is JsonException or IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }

    public void Save(string path) => SafeFile.WriteText(path, ToJson() + "\n", replace: true);
}

public sealed record ReturnCapture
{
    public required string File { get; init; }
    public required int SampleRateHz { get; init; }
    public int ChannelCount { get; init; }
    public double LengthSeconds { get; init; }
}

public sealed record ReturnPass
{
    public required int Number { get; init; }
    public string? PassId { get; init; }
    public required string Capture { get; init; }
    public double? CaptureStartSeconds { get; init; }
    public double? CaptureEndSeconds { get; init; }
    public double? SpeedRatio { get; init; }
    public bool Reversed { get; init; }

    /// <summary>The stripe of this run, where its channel was captured; else null.</summary>
    public ReturnStripe? Stripe { get; init; }

    /// <summary>Every sound of the pass, and every slate of it, was heard in this capture.</summary>
    public bool Complete { get; init; }
}

public sealed record ReturnTake
{
    [JsonIgnore]
    internal int SourceIndex { get; init; } = -1;

    public required string Source { get; init; }
    public string? Capture { get; init; }
    public int? Pass { get; init; }
    public required bool Found { get; init; }

    /// <summary>Its place was set by hand.</summary>
    public bool Held { get; init; }

    /// <summary>The chance that the place is right, as tested; 0 where nothing was found.</summary>
    public double Confidence { get; init; }
    public bool Complete { get; init; }

    /// <summary>Up to where in the source the capture holds it.</summary>
    public double? EndSourceSeconds { get; init; }
    public string? File { get; init; }
    public IReadOnlyDictionary<string, string> Files { get; init; } = new Dictionary<string, string>();
    public double? CaptureStartSeconds { get; init; }
    public double? SpeedRatio { get; init; }
    public int? Polarity { get; init; }

    /// <summary>For each channel of the take, which channel of the capture it is, from 0; null where that cannot be known.</summary>
    public IReadOnlyList<int>? ChannelOrder { get; init; }

    /// <summary>The channels of the capture that the take was made from, from 0.</summary>
    public IReadOnlyList<int>? CaptureChannels { get; init; }
    public double? GainDb { get; init; }
    public double? InterchannelDelayMicroseconds { get; init; }
    public double? NoiseFloorDbfs { get; init; }
    public ReturnTimeMap? TimeMap { get; init; }
    public double? WobblePeakCents { get; init; }

    /// <summary>How much later the take's track is than the stripe's in the same run, on average; null without a stripe, or where the sound is too faint to say.</summary>
    public double? StripeDelayMicroseconds { get; init; }

    /// <summary>RMS of the slow movement of that (the azimuth of the heads wanders); null with it.</summary>
    public double? StripeWanderMicroseconds { get; init; }

    /// <summary>How well that movement is known at a moment, one sigma; null with it.</summary>
    public double? StripeWanderSigmaMicroseconds { get; init; }

    /// <summary>What bleeds of the stripe into the take as it was captured, against the take where it sounds (below 0: fainter); null where none can be heard.</summary>
    public double? StripeBleedDb { get; init; }

    /// <summary>The same, of what is left once it is subtracted (in fit, steady and lock), as far as can be known; null without a stripe.</summary>
    public double? StripeBleedLeftDb { get; init; }
    public IReadOnlyList<ReturnDropout> Dropouts { get; init; } = [];

    /// <summary>By retiming: how far a moment can still be from where the source has it, at most.</summary>
    public IReadOnlyDictionary<string, double> GridDistanceMilliseconds { get; init; } = new Dictionary<string, double>();

    /// <summary>Where a hand moved the pitch.</summary>
    public IReadOnlyList<ReturnRide> Rides { get; init; } = [];

    /// <summary>Where the tape stood still.</summary>
    public IReadOnlyList<ReturnStop> Stops { get; init; } = [];
    public IReadOnlyList<ReturnWarning> Warnings { get; init; } = [];

    /// <summary>One plain sentence.</summary>
    public string Sentence { get; init; } = "";
}

/// <summary>Several returns of one source.</summary>
public sealed record ReturnTries
{
    public required string Source { get; init; }

    /// <summary>Which of the sheet's takes they are, from 0.</summary>
    public required IReadOnlyList<int> Takes { get; init; }

    /// <summary>How much later each is than the first on average, both along their maps; null where they could not be compared.</summary>
    public required IReadOnlyList<double?> OffsetMicroseconds { get; init; }

    /// <summary>RMS of what moves between each and the first besides; null with it.</summary>
    public required IReadOnlyList<double?> SpreadMicroseconds { get; init; }
}

public sealed record ReturnTimeMap
{
    public required double[] SourceSeconds { get; init; }
    public required double[] CaptureSeconds { get; init; }
    public required double[] SigmaMilliseconds { get; init; }
}

/// <summary>The stripe of a run as it was followed.</summary>
public sealed record ReturnStripe
{
    /// <summary>The channel of the capture that carries it, from 0.</summary>
    public required int CaptureChannel { get; init; }

    /// <summary>Seconds of the send.</summary>
    public required double[] SendSeconds { get; init; }
    public required double[] CaptureSeconds { get; init; }
    public required double[] SigmaMilliseconds { get; init; }
}

public sealed record ReturnDropout(double SourceSeconds, double LengthMilliseconds, double DepthDb);

/// <summary>A ride of the pitch within a take.</summary>
public sealed record ReturnRide(double FromSourceSeconds, double ToSourceSeconds, double PeakCents);

/// <summary>A stop of the tape within a take: what of the source it swallowed, and when it was.</summary>
public sealed record ReturnStop(double FromSourceSeconds, double ToSourceSeconds, double FromCaptureSeconds, double ToCaptureSeconds);

public sealed record ReturnWarning(string Code, string Text)
{
    internal static ReturnWarning Of(Notice notice) => new(notice.Code, notice.Text);
}

[JsonSourceGenerationOptions(
    WriteIndented = true,
    PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.Never
)]
[JsonSerializable(typeof(ReturnSheet))]
internal sealed partial class ReturnSheetJson : JsonSerializerContext;
