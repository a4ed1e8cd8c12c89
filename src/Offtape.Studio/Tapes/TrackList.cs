using System.Globalization;

namespace Offtape.Studio;

/// <summary>Numbers of tracks as the database keeps them: 1,2; null for none.</summary>
internal static class TrackList
{
    public static string? ToStored(IReadOnlyCollection<int> tracks) => tracks.Count > 0 ? string.Join(',', tracks) : null;

    public static IReadOnlyList<int> Parse(string? stored) =>
        stored is { Length: > 0 } ? [.. stored.Split(',').Select(t => int.Parse(t, CultureInfo.InvariantCulture))] : [];

    /// <summary>Whether two recordings share a track; none means all of the side.</summary>
    public static bool Meet(IReadOnlyList<int> one, IReadOnlyList<int> other) =>
        one.Count == 0 || other.Count == 0 || one.Any(other.Contains);
}
