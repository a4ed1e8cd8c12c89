namespace Offtape.Passes;

/// <summary>Everything that is asked of a send. What is left alone has the value that suits most passes.</summary>
public sealed record SendRequest
{
    public const double DefaultLevelDbfs = -6;
    public const double DefaultLeadSeconds = 8;
    public const double DefaultGapSeconds = 2;

    /// <summary>The clean audio files, in the order in which they are to stand on the tape.</summary>
    public required IReadOnlyList<string> Sources { get; init; }

    /// <summary>The folder that receives <c>send.wav</c> and <c>pass.json</c>; made when it is missing.</summary>
    public required string TargetFolder { get; init; }

    /// <summary>Rate of the send; null: the rate the sources share, else the highest of theirs.</summary>
    public int? SampleRateHz { get; init; }

    public SendDepth Depth { get; init; } = SendDepth.Pcm24;

    /// <summary>Sample peak of the loudest source in the send, in dBFS (of every source with <see cref="LevelEach"/>).</summary>
    public double LevelDbfs { get; init; } = DefaultLevelDbfs;

    /// <summary>False: one gain for all, so that stems keep their balance. True: each source is brought to the level by itself.</summary>
    public bool LevelEach { get; init; }

    /// <summary>From the start of the send (after the line-up tone, if there is one) to the first source.</summary>
    public double LeadSeconds { get; init; } = DefaultLeadSeconds;

    /// <summary>Between one source and the next, in the serial layout.</summary>
    public double GapSeconds { get; init; } = DefaultGapSeconds;

    public bool Slates { get; init; } = true;

    public SendLayout Layout { get; init; } = SendLayout.Serial;

    /// <summary>Which source goes to which tracks; sources that are not named go to their usual place.</summary>
    public IReadOnlyList<TrackAssignment> Tracks { get; init; } = [];

    /// <summary>The track (from 1) that carries a sync signal; null: none.</summary>
    public int? StripeTrack { get; init; }

    /// <summary>Begin with a steady tone for setting levels.</summary>
    public bool LineUp { get; init; }

    /// <summary>Speed of the tape; null: not said.</summary>
    public double? SpeedCmPerSecond { get; init; }

    /// <summary>Send duration ÷ source duration: 2 prints the sounds at half speed.</summary>
    public double PrintRatio { get; init; } = 1;

    /// <summary>Write each source backwards.</summary>
    public bool Reversed { get; init; }

    /// <summary>Playing time of one side of the tape at this pass's speed, in minutes; null: not checked.</summary>
    public double? SideMinutes { get; init; }

    /// <summary>Replace a send and a sheet that exist.</summary>
    public bool Force { get; init; }

    /// <summary>Where and how it is to be run, for the sheet; null: not said.</summary>
    public SheetRun? Run { get; init; }

    /// <summary>What the sheet says of when it was made; null: nothing.</summary>
    public DateTime? MadeAt { get; init; }

    /// <summary>The pass's identity; null: a new one.</summary>
    public string? PassId { get; init; }
}
