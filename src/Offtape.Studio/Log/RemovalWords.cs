using Offtape.Base;

namespace Offtape.Studio;

/// <summary>What taking a pass out of the log does, in words.</summary>
public static class RemovalWords
{
    /// <param name="removed">The pass.</param>
    /// <param name="tape">Its tape, side and tracks in words.</param>
    /// <param name="isDone">It is done already.</param>
    public static string Freed(RemovedPass removed, string tape, bool isDone)
    {
        var place = (removed.FreedFromSeconds, removed.FreedToSeconds) is ({ } from, { } to)
            ? $" from {Words.ClockToSecond(from)} to {Words.ClockToSecond(to)}"
            : "";
        var later = removed.LaterCount > 0 ? $"; {Words.Count(removed.LaterCount, "later recording")} on it counts one less" : "";
        return $"{(isDone ? "Freed" : "Frees")}: {tape}{place}{later}.";
    }

    /// <summary>What becomes of a file: "would be deleted".</summary>
    public static string Fate(RemovableFile file, bool withFiles, bool isDone, IReadOnlyCollection<string> deleted) =>
        !withFiles ? "stays where it is"
        : !file.IsAsLogged ? "has changed since it was logged, and stays"
        : !isDone ? "would be deleted"
        : deleted.Contains(file.Path) ? "is deleted"
        : "stays where it is";
}
