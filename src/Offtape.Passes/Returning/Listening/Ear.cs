using Offtape.AudioFiles;

namespace Offtape.Passes.Listening;

/// <summary>One thread's way of hearing a recording: an open reader, and a working signal of each channel.</summary>
internal sealed class Ear : IDisposable
{
    private readonly IAudioReader _reader;
    private readonly Dictionary<(int Channel, int Sign), WorkingSignal> _channels = [];
    private readonly double _workingRateHz;
    private readonly bool _isReversed;

    /// <param name="recording">What is heard.</param>
    /// <param name="speed">Its seconds per second of the other side: a source heard at twice its speed is read at half the working rate, and so becomes its equal.</param>
    /// <param name="isReversed">Hear it backwards.</param>
    /// <param name="rateHz">Working rate at speed 1.</param>
    internal Ear(Recording recording, double speed = 1, bool isReversed = false, double rateHz = WorkingSignal.UsualRateHz)
    {
        _reader = recording.Open();
        (_workingRateHz, _isReversed) = (rateHz / speed, isReversed);
    }

    internal int ChannelCount => _reader.Format.ChannelCount;

    /// <summary>One channel, upside down for a sign of −1.</summary>
    internal WorkingSignal Channel(int channel, int sign = 1)
    {
        if (!_channels.TryGetValue((channel, sign), out var signal))
            _channels[(channel, sign)] = signal = new WorkingSignal(_reader, [channel], [sign], _workingRateHz, _isReversed);
        return signal;
    }

    /// <summary>The mean of all channels.</summary>
    internal WorkingSignal Mean() => new(_reader, [.. Enumerable.Range(0, ChannelCount)], null, _workingRateHz, _isReversed);

    public void Dispose() => _reader.Dispose();
}
