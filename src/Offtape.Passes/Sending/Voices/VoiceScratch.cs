namespace Offtape.Passes;

/// <summary>Buffers that the voices of one send share, one voice at a time; each grows to the largest need and stays.</summary>
internal sealed class VoiceScratch
{
    private float[] _interleaved = [];
    private float[] _planar = [];
    private float[] _rendered = [];

    internal Span<float> Interleaved(int sampleCount) => Get(ref _interleaved, sampleCount);

    internal Span<float> Planar(int frameCount) => Get(ref _planar, frameCount);

    internal Span<float> Rendered(int frameCount) => Get(ref _rendered, frameCount);

    private static Span<float> Get(ref float[] buffer, int count)
    {
        if (buffer.Length < count)
            buffer = new float[count];
        return buffer.AsSpan(0, count);
    }
}
