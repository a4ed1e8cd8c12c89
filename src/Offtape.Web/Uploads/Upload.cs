namespace Offtape.Web.Uploads;

/// <summary>Where a file that comes in belongs.</summary>
public enum UploadPlace
{
    Source,
    Capture,

    /// <summary>A recording of a check signal.</summary>
    Bench,
}

/// <summary>How a file that comes in stands.</summary>
public enum UploadStand
{
    Waiting,
    Coming,
    Done,
    Refused,
}

/// <summary>A file that comes in, at one moment.</summary>
public sealed record Upload
{
    public required string Id { get; init; }

    public required string PassId { get; init; }

    public required UploadPlace Place { get; init; }

    /// <summary>As it will be called.</summary>
    public required string Name { get; init; }

    public required long ByteCount { get; init; }

    public long ReceivedBytes { get; init; }

    public UploadStand Stand { get; init; }

    /// <summary>Why it was refused; empty otherwise.</summary>
    public string Words { get; init; } = "";

    public bool IsOver => Stand is UploadStand.Done or UploadStand.Refused;
}
