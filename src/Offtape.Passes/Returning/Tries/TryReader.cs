using Offtape.Passes.Following;
using Offtape.Passes.Listening;

namespace Offtape.Passes.Tries;

/// <summary>Hears one try in the source's own time, whatever speed it came back at.</summary>
internal sealed class TryReader : IDisposable
{
    private readonly FollowedTake _take;
    private readonly Ear _ear;
    private readonly WorkingSignal _signal;
    private readonly PathReader _along;
    private readonly float[] _window;

    internal TryReader(FollowedTake take, int windowFrames)
    {
        // Frames of the working rate are seconds of the source: a try at twice the speed is heard at twice the rate.
        var rateHz = WorkingSignal.UsualRateHz * take.NominalSpeed;
        (_take, _window) = (take, new float[windowFrames]);
        _ear = new Ear(take.Capture.Recording, rateHz: rateHz);
        _signal = _ear.Channel(take.CaptureChannel, take.Polarity);
        _along = new PathReader(rateHz);
    }

    /// <summary>The window about a moment of the source file; valid until the next call.</summary>
    internal ReadOnlySpan<float> At(double sourceFileSeconds)
    {
        _along.Read(_signal, _take.Curve, _take.ToTrackerSeconds(sourceFileSeconds), _window);
        return _window;
    }

    public void Dispose() => _ear.Dispose();
}
