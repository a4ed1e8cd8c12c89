using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Passes.Mapping;

/// <summary>
/// The stripe of a pass as a file that was never written: one channel at its native rate, frame 0 being where it begins in the send. So
/// it can be followed like any source.
/// </summary>
internal sealed class StripeReader : IAudioReader
{
    private readonly Stripe _stripe;
    private readonly double _fadeFrames;

    /// <param name="sheet">Its entry in the sheet, with a seed that can be read.</param>
    /// <param name="passId">Whose it is, for messages.</param>
    internal StripeReader(SheetStripe sheet, string passId)
    {
        if (!sheet.TryReadSeed(out var seed))
            throw new ArgumentException("The seed is not a number.", nameof(sheet));
        _stripe = new Stripe(seed, Stripe.NativeRateHz, sheet.LevelDbfs);
        _fadeFrames = sheet.FadeSeconds * Stripe.NativeRateHz;
        Path = "stripe of " + passId;
        FrameCount = Math.Max(1, Conversions.SecondsToFrames(sheet.LengthSeconds, Stripe.NativeRateHz));
    }

    public string Path { get; }

    public AudioContainer Container => AudioContainer.Wav;

    public AudioFormat Format { get; } = new(Stripe.NativeRateHz, 1, SampleEncoding.Float32);

    public long FrameCount { get; }

    public AudioMetadata Metadata => AudioMetadata.Empty;

    public IReadOnlyList<Notice> Notices => [];

    public int Read(long startFrame, Span<float> interleaved)
    {
        var count = (int)Math.Clamp(FrameCount - startFrame, 0, interleaved.Length);
        var frames = interleaved[..count];
        _stripe.Render(startFrame, frames);
        for (var i = 0; i < count; i++)
        {
            // A raised cosine at each end, as in the send.
            var fromEnd = Math.Min(startFrame + i, FrameCount - 1 - startFrame - i);
            if (fromEnd < _fadeFrames)
                frames[i] *= (float)(0.5 - 0.5 * Math.Cos(Math.PI * fromEnd / _fadeFrames));
        }
        return count;
    }

    public int ReadExact(long startFrame, Span<double> interleaved)
    {
        var block = new float[interleaved.Length];
        var read = Read(startFrame, block);
        for (var i = 0; i < read; i++)
            interleaved[i] = block[i];
        return read;
    }

    public void Dispose() { }
}
