namespace Offtape.Tape;

/// <summary>Collects the highest point of each neighbourhood in which a correlation passes its threshold.</summary>
internal sealed class ChirpPeaks(double threshold, int neighbourhoodFrames)
{
    private long _bestFrame = long.MinValue;
    private double _best;

    internal List<(long Frame, double Strength)> Frames { get; } = [];

    internal void Add(long frame, double strength)
    {
        if (strength < threshold)
            return;
        if (_bestFrame != long.MinValue && frame - _bestFrame > neighbourhoodFrames)
            Finish();
        if (strength > _best)
            (_bestFrame, _best) = (frame, strength);
    }

    internal void Finish()
    {
        if (_bestFrame != long.MinValue)
            Frames.Add((_bestFrame, _best));
        (_bestFrame, _best) = (long.MinValue, 0);
    }
}
