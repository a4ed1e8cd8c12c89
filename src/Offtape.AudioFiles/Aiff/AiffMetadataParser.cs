namespace Offtape.AudioFiles;

/// <summary>Gathers what an AIFF says besides the audio.</summary>
internal sealed class AiffMetadataParser(FileBytes file, Damage damage)
{
    // All of it is kept in memory, so it is bounded.
    private const long MostBytes = 8 * 1024 * 1024;

    private readonly List<RawChunk> _others = [];
    private IReadOnlyList<CuePoint> _markers = [];
    private byte[]? _instrument;
    private long _byteCount;

    /// <summary>Takes a chunk that lies wholly within the file.</summary>
    public void Read(string name, long body, long size)
    {
        if (name is "FVER" or "COMM" or "SSND" or "FLLR" or "PEAK")
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
            case "MARK":
                _markers = MarkerChunk.Read(bytes);
                break;
            case "INST" when size >= InstrumentChunk.ByteCount:
                _instrument = bytes;
                break;
            default:
                _others.Add(new RawChunk(ChunkFamily.Iff, name, bytes));
                break;
        }
    }

    public AudioMetadata ToMetadata() =>
        new()
        {
            CuePoints = _markers,
            Sampler = _instrument is null ? null : InstrumentChunk.Read(_instrument, _markers),
            OtherChunks = _others,
        };
}
