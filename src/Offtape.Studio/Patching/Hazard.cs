namespace Offtape.Studio;

/// <summary>How much a hazard matters.</summary>
public enum Severity
{
    /// <summary>Worth knowing; nothing suffers.</summary>
    Note,

    /// <summary>It works, and something suffers or has to be looked to.</summary>
    Warn,

    /// <summary>It hurts something or somebody, or does not work: it is not joined like this.</summary>
    Refuse,
}

/// <summary>Something about a patch that hurts, or that one has to know.</summary>
/// <param name="Code">A stable code, one of <see cref="HazardCode"/>.</param>
/// <param name="Severity">How much it matters.</param>
/// <param name="Where">Which sockets it is about.</param>
/// <param name="Reason">What is wrong, in one sentence.</param>
/// <param name="Advice">What to do.</param>
public sealed record Hazard(string Code, Severity Severity, string Where, string Reason, string Advice);

/// <summary>The codes of hazards; they do not change.</summary>
public static class HazardCode
{
    public const string SpeakerIntoLine = "speaker-into-line";
    public const string PhantomTowardsOutput = "phantom-towards-output";
    public const string HowlRound = "howl-round";
    public const string DinRecordTooHot = "din-record-too-hot";
    public const string DinCurrentIntoLine = "din-current-into-line";
    public const string LineIntoMicrophone = "line-into-microphone";
    public const string TooHot = "too-hot";
    public const string TooWeak = "too-weak";
    public const string LevelMismatch = "level-mismatch";
    public const string AutomaticLevel = "automatic-level";
    public const string PlugInPower = "plug-in-power";
    public const string BalancedIntoUnbalanced = "balanced-into-unbalanced";
    public const string FloatingColdOpen = "floating-cold-open";
    public const string ColdLeftOpen = "cold-left-open";
    public const string UnbalancedIntoBalanced = "unbalanced-into-balanced";
    public const string GroundNotJoined = "ground-not-joined";
    public const string EarthLoop = "earth-loop";
    public const string EarthLifted = "earth-lifted";
    public const string LiveChassis = "live-chassis";
    public const string RecordReplaySwapped = "record-replay-swapped";
    public const string OutputsJoined = "outputs-joined";
    public const string OutputShorted = "output-shorted";
    public const string MonoPlugInStereoSocket = "mono-plug-in-stereo-socket";
    public const string ChannelsCrossed = "channels-crossed";
    public const string PolarityTurned = "polarity-turned";
    public const string DoesNotFit = "does-not-fit";
    public const string Loading = "loading";
    public const string HighImpedanceLead = "high-impedance-lead";
    public const string TooFewSockets = "too-few-sockets";
    public const string NoWay = "no-way";

    /// <summary>Every code.</summary>
    public static IReadOnlyList<string> All { get; } =
    [
        SpeakerIntoLine,
        PhantomTowardsOutput,
        HowlRound,
        DinRecordTooHot,
        DinCurrentIntoLine,
        LineIntoMicrophone,
        TooHot,
        TooWeak,
        LevelMismatch,
        AutomaticLevel,
        PlugInPower,
        BalancedIntoUnbalanced,
        FloatingColdOpen,
        ColdLeftOpen,
        UnbalancedIntoBalanced,
        GroundNotJoined,
        EarthLoop,
        EarthLifted,
        LiveChassis,
        RecordReplaySwapped,
        OutputsJoined,
        OutputShorted,
        MonoPlugInStereoSocket,
        ChannelsCrossed,
        PolarityTurned,
        DoesNotFit,
        Loading,
        HighImpedanceLead,
        TooFewSockets,
        NoWay,
    ];
}
