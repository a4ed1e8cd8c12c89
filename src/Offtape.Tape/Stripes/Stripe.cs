using Offtape.Signal;

namespace Offtape.Tape;

/// <summary>
/// The sync signal on a spare track, format version 1: pseudo-random noise from 300 Hz to 9 kHz, amplitude falling with f^−¼, softly
/// limited. It never repeats within a tape, so every stretch of it says where it stands.
/// </summary>
/// <remarks>
/// It is defined at 24 000 Hz: numbered noise (<c>StripeNoise</c>) through the filter of <c>StripeShape</c>, scaled to an RMS of 0.7
/// and limited to u/√(1 + u²), rounded to whole numbers of 2^−20, through the same filter again. Only whole-number sums, single
/// products, square roots and quotients are used, all of which IEEE 754 rounds in one way, so the native signal is the same on every
/// machine. Its band ends at 0.8 of the native Nyquist frequency: at any other rate it is the same signal, retimed.
/// Any frame can be asked for, in any order. An instance holds its scratch: one per thread.
/// </remarks>
public sealed class Stripe
{
    public const int FormatVersion = 1;

    /// <summary>The rate at which the signal is defined.</summary>
    public const int NativeRateHz = StripeShape.RateHz;

    /// <summary>The usual peak in a send.</summary>
    public const double DefaultLevelDbfs = -12;

    // 10^(−12/20), printed in full so that no power function stands between two machines.
    private const double DefaultPeakLinear = 0.251188643150958;

    // How hard the noise meets the soft limit: an RMS of 0.7 bends the slope of the spectrum by less than 0.1 dB over the whole band.
    private const double Drive = 0.7 / StripeShape.FilteredRms;

    private const double LimitedUnit = 1 << 20;

    // The second filter lets peaks rise above the limit: the highest of a minute stands 0.9 dB over it.
    private const double PeakOverLimit = 1.1;

    // Blocks are cut at multiples of this many frames, whatever is asked for, so that any cut of the output gives the same bits.
    private const int BlockFrames = 4096;

    private readonly double _scale;
    private readonly double _stepFrames;
    private readonly double[] _noise;
    private readonly double[] _limited;
    private readonly float[] _native;
    private readonly float[] _block = new float[BlockFrames];
    private readonly int _marginFrames;
    private long _blockIndex = long.MinValue;

    /// <param name="seed">From <see cref="SeedFor"/>, or from a pass sheet.</param>
    /// <param name="sampleRateHz">Rate of what <see cref="Render"/> gives.</param>
    /// <param name="levelDbfs">Peak, to within about half a decibel.</param>
    public Stripe(ulong seed, int sampleRateHz, double levelDbfs = DefaultLevelDbfs)
    {
        if (!Base.SampleRate.IsSupported(sampleRateHz))
            throw new ArgumentOutOfRangeException(nameof(sampleRateHz), sampleRateHz, "Not a supported sample rate.");
        Seed = seed;
        SampleRateHz = sampleRateHz;
        var peakLinear = levelDbfs == DefaultLevelDbfs ? DefaultPeakLinear : Base.Conversions.DbToAmplitude(levelDbfs);
        _scale = peakLinear / (PeakOverLimit * LimitedUnit * StripeShape.One);
        _stepFrames = (double)NativeRateHz / sampleRateHz;
        _marginFrames = sampleRateHz == NativeRateHz ? 0 : Retimer.HalfWidthFrames(_stepFrames) + 1;
        var nativeFrames = (int)Math.Ceiling(BlockFrames * _stepFrames) + 1 + 2 * _marginFrames;
        _native = new float[nativeFrames];
        var longest = Math.Max(nativeFrames, BlockFrames);
        _limited = new double[longest + 2 * StripeShape.HalfWidthFrames];
        _noise = new double[longest + 4 * StripeShape.HalfWidthFrames];
    }

    public ulong Seed { get; }

    public int SampleRateHz { get; }

    /// <summary>The seed of a pass's stripe.</summary>
    /// <param name="passNumber">From <see cref="Slate.ShortPassNumber"/>.</param>
    public static ulong SeedFor(int passNumber)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(passNumber);
        return StripeNoise.Mix(((ulong)FormatVersion << 32) | (uint)passNumber);
    }

    /// <summary>The stripe at <see cref="SampleRateHz"/>.</summary>
    /// <param name="firstFrame">Frame 0 is the stripe's time zero; frames before it exist too.</param>
    /// <param name="output">Mono, any length.</param>
    public void Render(long firstFrame, Span<float> output)
    {
        while (!output.IsEmpty)
        {
            var index = Math.DivRem(firstFrame, BlockFrames, out var offset);
            if (offset < 0)
                (index, offset) = (index - 1, offset + BlockFrames);
            FillBlock(index);
            var count = (int)Math.Min(output.Length, BlockFrames - offset);
            _block.AsSpan((int)offset, count).CopyTo(output);
            output = output[count..];
            firstFrame += count;
        }
    }

    private void FillBlock(long index)
    {
        if (index == _blockIndex)
            return;
        if (SampleRateHz == NativeRateHz)
            FillNative(index * BlockFrames, _block);
        else
        {
            // The block's first position as a whole native frame and an exact remainder: the position is as good after an hour as at zero.
            var firstNative = Math.DivRem(index * BlockFrames * NativeRateHz, SampleRateHz, out var remainder);
            if (remainder < 0)
                (firstNative, remainder) = (firstNative - 1, remainder + SampleRateHz);
            FillNative(firstNative - _marginFrames, _native);
            Retimer.RenderFixed(_native, -_marginFrames, (double)remainder / SampleRateHz, _stepFrames, _block);
        }
        _blockIndex = index;
    }

    private void FillNative(long firstFrame, Span<float> output)
    {
        const int half = StripeShape.HalfWidthFrames;
        var limited = _limited.AsSpan(0, output.Length + 2 * half);
        var noise = _noise.AsSpan(0, limited.Length + 2 * half);
        for (var i = 0; i < noise.Length; i++)
            noise[i] = StripeNoise.SampleAt(Seed, firstFrame - 2 * half + i);
        StripeShape.Apply(noise, limited);
        for (var i = 0; i < limited.Length; i++)
        {
            var u = limited[i] * Drive;
            limited[i] = Math.Round(u / Math.Sqrt(1 + u * u) * LimitedUnit);
        }
        var shaped = noise[..output.Length];
        StripeShape.Apply(limited, shaped);
        for (var i = 0; i < output.Length; i++)
            output[i] = (float)(shaped[i] * _scale);
    }
}
