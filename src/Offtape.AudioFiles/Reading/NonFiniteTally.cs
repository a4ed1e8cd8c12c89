using Offtape.Base;

namespace Offtape.AudioFiles;

/// <summary>
/// Turns values that are no numbers into silence and counts them, each place in the file once however often it is read.
/// </summary>
internal sealed class NonFiniteTally(string fileName)
{
    // A file read block by block keeps one stretch; only wild random access makes many. Beyond this the count is a lower bound.
    private const int MostStretches = 1024;

    private readonly List<(long Start, long EndExcl)> _counted = [];
    private long _count;

    /// <summary>Sets every value that is not finite to 0.</summary>
    public void Silence(Span<float> interleaved, long startFrame, int channelCount)
    {
        for (var i = 0; i < interleaved.Length; i++)
        {
            if (float.IsFinite(interleaved[i]))
                continue;
            interleaved[i] = 0;
            if (!IsCounted(startFrame + i / channelCount))
                _count++;
        }
        Remember(startFrame, startFrame + interleaved.Length / channelCount);
    }

    public IReadOnlyList<Notice> Join(IReadOnlyList<Notice> others)
    {
        if (_count == 0)
            return others;
        var values = _count == 1 ? "1 value that is no number. It is" : $"{_count} values that are no numbers. They are";
        var told = $"{fileName} holds {values} read as silence.";
        return others.Count == 0
            ? [new Notice(Damage.Code, told)]
            : [.. others.Select(n => n.Code == Damage.Code ? n with { Text = $"{n.Text} {told}" } : n)];
    }

    private bool IsCounted(long frame)
    {
        foreach (var (start, endExcl) in _counted)
            if (frame >= start && frame < endExcl)
                return true;
        return false;
    }

    private void Remember(long start, long endExcl)
    {
        for (var i = _counted.Count - 1; i >= 0; i--)
        {
            var (otherStart, otherEndExcl) = _counted[i];
            if (otherStart > endExcl || otherEndExcl < start)
                continue;
            (start, endExcl) = (Math.Min(start, otherStart), Math.Max(endExcl, otherEndExcl));
            _counted.RemoveAt(i);
        }
        if (_counted.Count < MostStretches)
            _counted.Add((start, endExcl));
    }
}
