using Offtape.AudioFiles;
using Offtape.Signal;

namespace Offtape.Web.Listening;

/// <summary>How loud a variant is, as it is heard.</summary>
/// <param name="LoudnessLufs">Integrated, by ITU-R BS.1770; −∞ for silence.</param>
/// <param name="TruePeakDbtp">By its Annex 2.</param>
internal readonly record struct HeardLevel(double LoudnessLufs, double TruePeakDbtp)
{
    private const int BlockFrames = 1 << 15;

    /// <summary>One gating block of BS.1770 and a little: what is shorter is measured with silence after it.</summary>
    private const double LeastSeconds = 0.5;

    public static HeardLevel Of(IAudioReader reader, HeardFormat format, CancellationToken cancellation)
    {
        var meter = new LoudnessMeter(format.ChannelCount, format.SampleRateHz);
        var own = (long)Math.Ceiling((double)reader.FrameCount * format.SampleRateHz / reader.Format.SampleRateHz);
        var frames = Math.Max(own, (long)(LeastSeconds * format.SampleRateHz));
        var block = new float[BlockFrames * format.ChannelCount];
        for (long at = 0; at < frames; at += BlockFrames)
        {
            cancellation.ThrowIfCancellationRequested();
            var count = (int)Math.Min(BlockFrames, frames - at);
            var piece = block.AsSpan(0, count * format.ChannelCount);
            HeardFrames.Read(reader, format, at, piece);
            meter.Add(piece);
        }
        return new HeardLevel(meter.IntegratedLufs, meter.TruePeakDbtp);
    }
}
