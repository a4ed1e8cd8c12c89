namespace Offtape.Bench;

/// <summary>A stretch of the capture without a sound.</summary>
/// <param name="Name">"recorded silence", "blank tape" or "tape stopped".</param>
/// <param name="FirstFrame">Of the capture.</param>
/// <param name="FrameCount">Its length.</param>
internal sealed record QuietStretch(string Name, int FirstFrame, int FrameCount)
{
    internal const string Recorded = "recorded silence";
    internal const string Blank = "blank tape";
    internal const string Stopped = "tape stopped";

    internal ReadOnlySpan<float> Of(BenchCapture capture, int channelIndex) => capture.Channel(channelIndex).Slice(FirstFrame, FrameCount);
}
