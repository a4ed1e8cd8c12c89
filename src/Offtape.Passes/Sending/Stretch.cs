namespace Offtape.Passes;

/// <summary>A stretch of the send, in its frames.</summary>
internal readonly record struct Stretch(long StartFrame, long FrameCount)
{
    internal long EndFrameExcl => StartFrame + FrameCount;
}
