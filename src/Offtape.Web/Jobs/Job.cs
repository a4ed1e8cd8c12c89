using Offtape.Base;

namespace Offtape.Web.Jobs;

/// <summary>How a job stands.</summary>
public enum JobStand
{
    Waiting,
    Running,
    Done,
    Stopped,
    Failed,

    /// <summary>The program ended while it ran.</summary>
    Interrupted,
}

/// <summary>What kind of work it is.</summary>
public enum JobKind
{
    Send,
    Return,
    Demo,
    Bench,

    /// <summary>Reading every file of the log again.</summary>
    Verify,

    /// <summary>Taking the files of the studio into the log.</summary>
    Rebuild,
}

/// <summary>A job as it stands at one moment.</summary>
public sealed record Job
{
    public required long Number { get; init; }

    public required JobKind Kind { get; init; }

    /// <summary>The pass it works on.</summary>
    public required string PassId { get; init; }

    /// <summary>As one says it: "making the send of Side A".</summary>
    public required string Title { get; init; }

    public JobStand Stand { get; init; } = JobStand.Waiting;

    public JobState State { get; init; } = new("waiting", 0, "waiting");

    public TimeSpan Elapsed { get; init; }

    /// <summary>How it ended, in words; empty while it runs.</summary>
    public string Words { get; init; } = "";

    public bool IsOver => Stand is not (JobStand.Waiting or JobStand.Running);

    /// <summary>Seconds still needed, as far as that can be told.</summary>
    public double? SecondsLeft =>
        State.Fraction < 0.05 || Stand != JobStand.Running
            ? null
            : Math.Max(1, Elapsed.TotalSeconds * (1 - State.Fraction) / State.Fraction);
}
