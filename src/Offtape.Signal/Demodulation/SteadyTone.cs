namespace Offtape.Signal;

/// <summary>A tone that goes on for a while, as it was found in a recording.</summary>
/// <param name="StartFrame">Its first frame, to a frame of the search.</param>
/// <param name="EndFrameExcl">The frame after its last.</param>
/// <param name="FrequencyHz">Its frequency in the middle of what was found, within about a hertz.</param>
/// <param name="Share">Its power against all that sounds from 250 Hz to 12 kHz, 0 to 1.</param>
public readonly record struct SteadyTone(int StartFrame, int EndFrameExcl, double FrequencyHz, double Share)
{
    public int FrameCount => EndFrameExcl - StartFrame;
}
