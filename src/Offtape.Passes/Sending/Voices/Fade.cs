using Offtape.Base;

namespace Offtape.Passes;

/// <summary>A raised-cosine fade at both ends of a stretch.</summary>
internal readonly struct Fade(long frameCount, double seconds, int sampleRateHz)
{
    private readonly long _fadeFrames = Math.Min(Conversions.SecondsToFrames(seconds, sampleRateHz), frameCount / 2);

    /// <param name="frame">From the stretch's first frame.</param>
    internal double At(long frame)
    {
        var edge = Math.Min(frame, frameCount - 1 - frame);
        return edge >= _fadeFrames ? 1 : 0.5 - 0.5 * Math.Cos(Math.PI * edge / _fadeFrames);
    }
}
