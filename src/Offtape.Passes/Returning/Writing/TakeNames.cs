namespace Offtape.Passes.Writing;

/// <summary>The file names of takes: the source's name and a suffix; further passes and equal names told apart.</summary>
internal static class TakeNames
{
    /// <summary>One name for each take, in their order: NAME-tape.wav, NAME-tape-2.wav for another source of that name (compared without case), NAME-tape.pass2.wav for a second pass of the same source.</summary>
    internal static string[] For(IReadOnlyList<(int SourceIndex, string SourceName, int TakeOfSource)> takes, string suffix)
    {
        var rank = new Dictionary<int, int>();
        var counts = new Dictionary<string, int>(StringComparer.OrdinalIgnoreCase);
        foreach (var (index, name, _) in takes.OrderBy(t => t.SourceIndex))
        {
            var stem = Path.GetFileNameWithoutExtension(name);
            if (!rank.ContainsKey(index))
                rank[index] = counts[stem] = counts.GetValueOrDefault(stem) + 1;
        }
        return
        [
            .. takes.Select(take =>
            {
                var stem = Path.GetFileNameWithoutExtension(take.SourceName) + suffix;
                var twin = rank[take.SourceIndex] > 1 ? $"-{rank[take.SourceIndex]}" : "";
                var pass = take.TakeOfSource > 1 ? $".pass{take.TakeOfSource}" : "";
                return stem + twin + pass + ".wav";
            }),
        ];
    }
}
