using Offtape.Signal;

namespace Offtape.Bench;

/// <summary>One channel of a capture at the rate at which slates are looked for, worked out as it is read.</summary>
internal sealed class WorkingChannel
{
    /// <summary>Enough for everything up to 7 kHz, which every machine passes.</summary>
    internal const double RateHz = 16_000;

    private readonly ICaptureAudio _audio;
    private readonly int _channelIndex;
    private readonly double _step;
    private readonly int _margin;
    private float[] _native = [];

    internal WorkingChannel(ICaptureAudio audio, int channelIndex)
    {
        (_audio, _channelIndex) = (audio, channelIndex);
        _step = audio.SampleRateHz / RateHz;
        _margin = Retimer.HalfWidthFrames(_step) + 1;
        FrameCount = (long)Math.Floor((audio.FrameCount - 1) / _step) + 1;
    }

    internal long FrameCount { get; }

    /// <summary>Fills the whole span from a frame on; silence outside.</summary>
    internal void Read(long startFrame, Span<float> output)
    {
        var first = (long)Math.Floor(startFrame * _step) - _margin;
        var count = (int)Math.Ceiling(output.Length * _step) + 2 * _margin + 2;
        if (_native.Length < count)
            _native = new float[count];
        var native = _native.AsSpan(0, count);
        _audio.Read(_channelIndex, first, native);
        Retimer.RenderFixed(native, first, startFrame * _step, _step, output);
    }
}
