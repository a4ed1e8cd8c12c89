using Offtape.Base;

namespace Offtape.AudioFiles;

/// <summary>Collects what is wrong with a file and can be lived with, and tells it in one notice.</summary>
internal sealed class Damage(string path)
{
    public const string Code = "damaged-file";

    private readonly List<string> _sentences = [];

    /// <summary>The file's name as it stands in sentences.</summary>
    public string Name { get; } = $"\"{Path.GetFileName(path)}\"";

    public bool IsNone => _sentences.Count == 0;

    /// <summary>Adds one sentence, or a few; the same one is told once.</summary>
    public void Tell(string sentence)
    {
        if (!_sentences.Contains(sentence))
            _sentences.Add(sentence);
    }

    /// <summary>The audio is longer by the header than by the file.</summary>
    public void TellCut(long statedBytes, long presentBytes)
    {
        var (stated, present) = (Words.ByteSize(statedBytes), Words.ByteSize(presentBytes));
        if (stated == present)
            (stated, present) = (Words.Count(statedBytes, "byte"), Words.Count(presentBytes, "byte"));
        Tell($"{Name} says it holds {stated} and the file is {present}. Reading the {present} that are there.");
    }

    /// <summary>The recorder never came to write the length.</summary>
    public void TellUnclosed(long presentBytes) =>
        Tell(
            $"{Name} was never closed: its header has no length, as when a recorder stops suddenly. "
                + $"Reading the {Words.ByteSize(presentBytes)} that are there."
        );

    /// <summary>The header says less than there is.</summary>
    public void TellTooShort(long statedBytes, long presentBytes) =>
        Tell(
            $"{Name} says it holds {Words.ByteSize(statedBytes)} and its audio goes on after that. "
                + $"Reading the {Words.ByteSize(presentBytes)} that are there."
        );

    /// <summary>Something stands after the end that is no part of the file.</summary>
    public void TellTrailing(long byteCount) =>
        Tell($"{Name} goes on after its end with {Words.Count(byteCount, "byte")} that are no part of it. They are left out.");

    /// <summary>A chunk is cut off by the end of the file.</summary>
    public void TellCutChunk(string chunkName) => Tell($"{Name} is cut off in its chunk \"{chunkName.TrimEnd()}\", which is left out.");

    public void TellPartialFrame() => Tell($"{Name} ends in the middle of a frame, which is left out.");

    public IReadOnlyList<Notice> ToNotices() => IsNone ? [] : [new Notice(Code, string.Join(' ', _sentences))];
}
