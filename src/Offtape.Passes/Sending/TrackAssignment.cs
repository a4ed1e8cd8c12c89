using System.Text.RegularExpressions;
using Offtape.Base;

namespace Offtape.Passes;

/// <summary>One source and the tracks it goes to.</summary>
/// <param name="FirstTrack">From 1.</param>
/// <param name="LastTrack">Inclusive; equal to <paramref name="FirstTrack"/> for one track.</param>
/// <param name="Source">A source as it was given, or its file name, with or without its ending.</param>
public sealed partial record TrackAssignment(int FirstTrack, int LastTrack, string Source)
{
    public int TrackCount => LastTrack - FirstTrack + 1;

    /// <summary>Reads <c>1=bass.wav,2-3=kit.wav</c>. A comma inside a file name is part of the name.</summary>
    /// <exception cref="Fault">Usage: the text is not of this form.</exception>
    public static IReadOnlyList<TrackAssignment> ParseList(string text)
    {
        var assignments = new List<TrackAssignment>();
        foreach (var part in Separator().Split(text))
        {
            var match = Assignment().Match(part);
            if (!match.Success)
                throw Fault.Usage(
                    $"\"{part.Trim()}\" does not say which source goes to which track",
                    "Write it as 1=bass.wav,2-3=kit.wav."
                );
            var first = Track(match.Groups["first"].Value);
            var last = match.Groups["last"].Success ? Track(match.Groups["last"].Value) : first;
            if (last < first)
                throw Fault.Usage($"\"{part.Trim()}\" counts its tracks backwards", $"Write {last}-{first}.");
            assignments.Add(new TrackAssignment(first, last, match.Groups["source"].Value));
        }
        return assignments;
    }

    private static int Track(string digits) =>
        int.TryParse(digits, out var track) && track is >= 1 and <= SendJob.MostTracks
            ? track
            : throw Fault.Usage($"There is no track {digits}", $"Tracks are counted from 1 to {SendJob.MostTracks}.");

    // Only a comma that is followed by "3=" or "3-4=" ends an assignment.
    [GeneratedRegex(@",(?=\s*\d+\s*(?:-\s*\d+\s*)?=)")]
    private static partial Regex Separator();

    [GeneratedRegex(@"^\s*(?<first>\d+)\s*(?:-\s*(?<last>\d+)\s*)?=\s*(?<source>\S.*?)\s*$")]
    private static partial Regex Assignment();
}
