using System.Text;

namespace Offtape.AudioFiles;

/// <summary>Gathers what a WAVE file says besides the audio.</summary>
internal sealed class RiffMetadataParser(FileBytes file, Damage damage)
{
    // All of it is kept in memory, so it is bounded. Real files have some kilobytes; pictures in tags make megabytes.
    private const long MostBytes = 8 * 1024 * 1024;

    private readonly List<RawChunk> _others = [];
    private AudioMetadata _metadata = AudioMetadata.Empty;
    private long _byteCount;

    /// <summary>Takes a chunk that lies wholly within the file.</summary>
    public void Read(string id, long body, long size)
    {
        // Fillers, and what describes the very form of the audio (a frame count, a peak): these are made anew when a file is written.
        if (id is "JUNK" or "junk" or "PAD " or "FLLR" or "fact" or "PEAK" or "data" or "fmt " or "ds64")
            return;
        if (_byteCount + size > MostBytes)
        {
            damage.Tell($"{damage.Name} has a chunk \"{id}\" too large to carry along. It is left out.");
            return;
        }
        _byteCount += size;
        var bytes = file.Copy(body, (int)size);
        switch (id)
        {
            case "bext" when BextChunk.Read(bytes) is var (broadcast, timeReferenceFrames):
                _metadata = _metadata with { Broadcast = broadcast, TimeReferenceFrames = timeReferenceFrames };
                break;
            case "iXML" when IsUtf8(bytes):
                _metadata = _metadata with { Ixml = Encoding.UTF8.GetString(bytes).TrimEnd('\0') };
                break;
            default:
                _others.Add(new RawChunk(ChunkFamily.Riff, id, bytes));
                break;
        }
    }

    public AudioMetadata ToMetadata() => _metadata with { OtherChunks = _others };

    private static bool IsUtf8(byte[] bytes) => System.Text.Unicode.Utf8.IsValid(bytes);
}
