namespace Offtape.Web;

/// <summary>How the app is served.</summary>
public sealed record WebOptions
{
    /// <summary>The port that is tried first where none is asked for: a browser that is still open finds the app again after a restart.</summary>
    public const int UsualPort = 4760;

    /// <summary>The folder in which the work is kept; it need not exist yet.</summary>
    public required string StudioFolder { get; init; }

    /// <summary>The port on both loopback addresses; null: the usual one, or another where that is taken.</summary>
    public int? Port { get; init; }

    /// <summary>The demo's material; null: the first page offers none.</summary>
    public IDemoMaterial? Demo { get; init; }

    /// <summary>Where what went wrong inside the app is told; null: nowhere.</summary>
    public Action<string, Exception?>? OnError { get; init; }

    /// <summary>The largest file that is taken in, in bytes. One side of a reel in 24 channels at 96 kHz is 25 GB.</summary>
    public long MostUploadBytes { get; init; } = 64L << 30;

    /// <summary>Files taken in at one drop.</summary>
    public int MostFilesAtOnce { get; init; } = 500;

    /// <summary>Room that is left on the disk whatever comes in, in bytes: a full disk hurts more than this program.</summary>
    public long RoomLeftBytes { get; init; } = 256L << 20;

    /// <summary>Free bytes on the disk of a folder; replaced in tests.</summary>
    public Func<string, long> FreeBytes { get; init; } = folder => new DriveInfo(folder).AvailableFreeSpace;

    /// <summary>The clock; replaced in tests.</summary>
    public TimeProvider Clock { get; init; } = TimeProvider.System;
}
