using System.Text;
using System.Text.Unicode;

namespace Offtape.AudioFiles;

/// <summary>Gathers what a WAVE file says besides the audio.</summary>
internal sealed class RiffMetadataParser(FileBytes file, Damage damage)
{
    // All of it is kept in memory, so it is bounded. Real files have some kilobytes; pictures in tags make megabytes.
    private const long MostBytes = 8 * 1024 * 1024;

    private readonly List<RawChunk> _others = [];
    private readonly CueChunks _cues = new();
    private AudioMetadata _metadata = AudioMetadata.Empty;
    private long _byteCount;

    /// <summary>Takes a chunk that lies wholly within the file.</summary>
    public void Read(string name, long body, long size)
    {
        // Fillers, and what describes the very form of the audio (a frame count, a peak): these are made anew when a file is written.
        if (name is "JUNK" or "junk" or "PAD " or "FLLR" or "fact" or "PEAK" or "data" or "fmt " or "ds64")
            return;
        if (_byteCount + size > MostBytes)
        {
            damage.Tell($"{damage.Name} has a chunk \"{name.TrimEnd()}\" too large to carry along. It is left out.");
            return;
        }
        _byteCount += size;
        var bytes = file.Copy(body, (int)size);
        switch (name)
        {
            case "bext":
                TakeBroadcast(bytes);
                break;
            case "iXML" when Utf8.IsValid(bytes):
                _metadata = _metadata with { Ixml = Encoding.UTF8.GetString(bytes).TrimEnd('\0') };
                break;
            case "cue ":
                _cues.ReadPoints(bytes);
                break;
            case "LIST" when bytes.AsSpan().StartsWith("adtl"u8):
                _cues.ReadLabels(bytes.AsSpan(4));
                break;
            case "smpl" when SmplChunk.Read(bytes) is { } sampler:
                _metadata = _metadata with { Sampler = sampler };
                break;
            default:
                _others.Add(new RawChunk(ChunkFamily.Riff, name, bytes));
                break;
        }
    }

    public AudioMetadata ToMetadata() => _metadata with { CuePoints = _cues.ToCuePoints(), OtherChunks = _others };

    private void TakeBroadcast(byte[] bytes)
    {
        if (BextChunk.Read(bytes) is var (broadcast, timeReferenceFrames))
            _metadata = _metadata with { Broadcast = broadcast, TimeReferenceFrames = timeReferenceFrames };
        else
            damage.Tell($"{damage.Name} has its broadcast notes (\"bext\") cut short. They are left out, and its place in time with them.");
    }
}
