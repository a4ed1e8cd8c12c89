using Offtape.Passes;

namespace Offtape.Web.Printing;

/// <summary>What the user has said of a pass: kept beside its send as plan.json, as an immutable value that is replaced whole.</summary>
public sealed record PassPlan
{
    public const string FileName = "plan.json";

    public int FormatVersion { get; init; } = 1;

    /// <summary>Stands in addresses; says nothing of the folder.</summary>
    public required string Id { get; init; }

    public required string Name { get; init; }

    public required DateTimeOffset MadeAt { get; init; }

    public string Machine { get; init; } = "";

    public string Tape { get; init; } = "";

    /// <summary>Side of the tape; empty: not said.</summary>
    public string TapeSide { get; init; } = "";

    /// <summary>Where the send begins, in seconds from the beginning of the side; null: not said.</summary>
    public double? StartSeconds { get; init; }

    /// <summary>Playing time of one side, in minutes; null: not said.</summary>
    public double? SideMinutes { get; init; } = 30;

    /// <summary>Null: not said.</summary>
    public double? SpeedCmPerSecond { get; init; }

    public SendLayout Layout { get; init; } = SendLayout.Serial;

    public double LevelDbfs { get; init; } = SendRequest.DefaultLevelDbfs;

    public bool LevelEach { get; init; }

    public bool LineUp { get; init; }

    /// <summary>From 1; null: no stripe.</summary>
    public int? StripeTrack { get; init; }

    /// <summary>File names of the sources in the order they were put in; those that are not named follow by name.</summary>
    public IReadOnlyList<string> Order { get; init; } = [];

    /// <summary>By file name: the first track of a source, where it was chosen.</summary>
    public IReadOnlyDictionary<string, int> Tracks { get; init; } = new Dictionary<string, int>();

    /// <summary>Numbers of the steps of the run that were ticked.</summary>
    public IReadOnlyList<int> Ticked { get; init; } = [];

    /// <summary>Captures that are not to be heard, by file name.</summary>
    public IReadOnlyList<string> LeftOut { get; init; } = [];

    /// <summary>By file name of a capture: the one source it holds, where the user said so.</summary>
    public IReadOnlyDictionary<string, string> Holds { get; init; } = new Dictionary<string, string>();

    /// <summary>Places that were set by hand.</summary>
    public IReadOnlyList<HeldByHand> Held { get; init; } = [];

    /// <summary>What was decided of takes, by the take's key.</summary>
    public IReadOnlyDictionary<string, TakeMark> Marks { get; init; } = new Dictionary<string, TakeMark>();
}

/// <summary>What was decided of a take.</summary>
public enum TakeMark
{
    Keep,

    /// <summary>To be printed again.</summary>
    Again,

    /// <summary>It is not this sound: found at a wrong place.</summary>
    Wrong,
}
