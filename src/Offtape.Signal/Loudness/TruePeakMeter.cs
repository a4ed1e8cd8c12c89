using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Offtape.Signal;

/// <summary>
/// The true peak of one channel, ITU-R BS.1770-5, Annex 2: the largest absolute value of the signal oversampled by an interpolating
/// low-pass. Four times below 96 kHz, twice below 192 kHz, not at all from there on, where the samples themselves are dense enough.
/// </summary>
/// <remarks>
/// The Recommendation's own filter of 12 taps a phase is an example; this one has 48 and is flat to 0.01 dB up to 0.9 of Nyquist. At four
/// times, a peak at frequency f can be under-read by 20·log10 cos(π·f/(4·rate)), at most 0.69 dB (Annex 2, Attachment 1).
/// </remarks>
public sealed class TruePeakMeter
{
    private const int TapCount = 48;
    private const int Lanes = 8;

    // Longest piece worked on at once.
    private const int PieceFrames = 1024;

    // Kaiser's beta for 70 dB: the transition is then 0.18 of Nyquist wide, centred on it.
    private const double Beta = 0.1102 * (70 - 8.7);

    private readonly int _phaseCount;

    // Phase after phase, tap after tap, each coefficient once for every lane.
    private readonly float[] _taps;

    // The last TapCount − 1 samples, then the piece, then room for whole vectors.
    private readonly float[] _line = new float[TapCount - 1 + PieceFrames + 4 * Lanes];

    private float _samplePeak;
    private float _interpolatedPeak;

    public TruePeakMeter(int sampleRateHz)
    {
        Oversampling = OversamplingFor(sampleRateHz);
        // The phase that falls on the samples is the samples.
        _phaseCount = Oversampling - 1;
        _taps = MakeTaps(Oversampling);
    }

    /// <summary>1, 2 or 4.</summary>
    public int Oversampling { get; }

    /// <summary>The largest absolute sample; 1.0 = full scale.</summary>
    public double SamplePeakLinear => _samplePeak;

    /// <summary>The largest absolute value of the oversampled signal, which is taken to fall silent after the last sample given.</summary>
    public double TruePeakLinear
    {
        get
        {
            Span<float> tail = stackalloc float[2 * TapCount - 2 + 4 * Lanes];
            tail.Clear();
            _line.AsSpan(0, TapCount - 1).CopyTo(tail);
            return Math.Max(Math.Max(_samplePeak, _interpolatedPeak), PeakBetween(tail, TapCount - 1));
        }
    }

    public static int OversamplingFor(int sampleRateHz) =>
        sampleRateHz switch
        {
            < 96_000 => 4,
            < 192_000 => 2,
            _ => 1,
        };

    /// <summary>Adds one channel out of interleaved frames.</summary>
    /// <param name="interleaved">Whole frames.</param>
    /// <param name="channelCount">Channels in a frame.</param>
    /// <param name="channelIndex">Which of them, from 0.</param>
    public void Add(ReadOnlySpan<float> interleaved, int channelCount, int channelIndex)
    {
        var frames = interleaved.Length / channelCount;
        for (var done = 0; done < frames; done += PieceFrames)
        {
            var count = Math.Min(PieceFrames, frames - done);
            var piece = _line.AsSpan(TapCount - 1, count);
            for (int i = 0, from = done * channelCount + channelIndex; i < piece.Length; i++, from += channelCount)
                piece[i] = interleaved[from];
            _samplePeak = Math.Max(_samplePeak, LargestMagnitude(piece));
            if (_phaseCount > 0)
                _interpolatedPeak = Math.Max(_interpolatedPeak, PeakBetween(_line, count));
            _line.AsSpan(count, TapCount - 1).CopyTo(_line);
        }
    }

    public void Reset()
    {
        Array.Clear(_line);
        _samplePeak = _interpolatedPeak = 0;
    }

    private static float LargestMagnitude(ReadOnlySpan<float> samples)
    {
        var largest = Vector256<float>.Zero;
        var i = 0;
        for (; i + 8 <= samples.Length; i += 8)
            largest = Vector256.Max(largest, Vector256.Abs(Vector256.LoadUnsafe(ref MemoryMarshal.GetReference(samples), (nuint)i)));
        var result = 0f;
        for (var lane = 0; lane < 8; lane++)
            result = Math.Max(result, largest[lane]);
        for (; i < samples.Length; i++)
            result = Math.Max(result, Math.Abs(samples[i]));
        return result;
    }

    // The largest magnitude between the samples: `count` places, the first with the window line[0..TapCount].
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private float PeakBetween(ReadOnlySpan<float> line, int count)
    {
        var largest = Vector256<float>.Zero;
        ref var from = ref MemoryMarshal.GetReference(line);
        ref var taps = ref MemoryMarshal.GetArrayDataReference(_taps);
        for (var phase = 0; phase < _phaseCount; phase++)
        {
            ref var phaseTaps = ref Unsafe.Add(ref taps, phase * TapCount * Lanes);
            for (var n = 0; n < count; n += 4 * Lanes)
            {
                Vector256<float> a = default,
                    b = default,
                    c = default,
                    d = default;
                ref var x = ref Unsafe.Add(ref from, n);
                for (nuint k = 0; k < TapCount; k++)
                {
                    var tap = Vector256.LoadUnsafe(ref phaseTaps, k * Lanes);
                    a = Vector256.FusedMultiplyAdd(tap, Vector256.LoadUnsafe(ref x, k), a);
                    b = Vector256.FusedMultiplyAdd(tap, Vector256.LoadUnsafe(ref x, k + Lanes), b);
                    c = Vector256.FusedMultiplyAdd(tap, Vector256.LoadUnsafe(ref x, k + 2 * Lanes), c);
                    d = Vector256.FusedMultiplyAdd(tap, Vector256.LoadUnsafe(ref x, k + 3 * Lanes), d);
                }
                largest = Vector256.Max(largest, Vector256.Abs(Only(a, count - n)));
                largest = Vector256.Max(largest, Vector256.Abs(Only(b, count - n - Lanes)));
                largest = Vector256.Max(largest, Vector256.Abs(Only(c, count - n - 2 * Lanes)));
                largest = Vector256.Max(largest, Vector256.Abs(Only(d, count - n - 3 * Lanes)));
            }
        }
        var result = 0f;
        for (var lane = 0; lane < Lanes; lane++)
            result = Math.Max(result, largest[lane]);
        return result;
    }

    // The first `count` lanes; the others, which lie beyond the piece, as silence.
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<float> Only(Vector256<float> values, int count)
    {
        if (count >= Lanes)
            return values;
        var lane = Vector256.Create(0, 1, 2, 3, 4, 5, 6, 7);
        return values & Vector256.LessThan(lane, Vector256.Create(count)).AsSingle();
    }

    // Phase p lies p/oversampling after the sample TapCount/2 − 1 places into the window.
    private static float[] MakeTaps(int oversampling)
    {
        var taps = new float[Math.Max(0, oversampling - 1) * TapCount * Lanes];
        for (var phase = 1; phase < oversampling; phase++)
        {
            var values = new double[TapCount];
            for (var k = 0; k < TapCount; k++)
            {
                var offset = k - (TapCount / 2 - 1) - (double)phase / oversampling;
                values[k] = Math.Sin(Math.PI * offset) / (Math.PI * offset) * Kaiser(offset / (TapCount / 2.0));
            }
            // A constant is to come out as it went in.
            var sum = values.Sum();
            for (var k = 0; k < TapCount; k++)
                taps.AsSpan(((phase - 1) * TapCount + k) * Lanes, Lanes).Fill((float)(values[k] / sum));
        }
        return taps;
    }

    private static double Kaiser(double share) => KaiserSinc.BesselI0(Beta * Math.Sqrt(1 - share * share)) / KaiserSinc.BesselI0(Beta);
}
