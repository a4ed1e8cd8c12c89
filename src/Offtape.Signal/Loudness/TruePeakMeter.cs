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

    // The phases on either side of the middle are mirror images: with the window folded in half, e = x[k] + x[47−k] and o = x[k] − x[47−k],
    // one is Σ(even·e + odd·o) and the other Σ(even·e − odd·o), and the middle one is Σ(middle·e). Tap after tap: middle, even, odd (at twice
    // the middle only), each once for every lane.
    private readonly float[] _taps;

    // No interpolated value is larger than this many times the largest sample under the window.
    private readonly float _gainBound;

    // The last TapCount − 1 samples, then the piece, then room for whole vectors.
    private readonly float[] _line = new float[TapCount - 1 + PieceFrames + 2 * Lanes];

    private float _samplePeak;
    private float _interpolatedPeak;

    public TruePeakMeter(int sampleRateHz)
    {
        Oversampling = OversamplingFor(sampleRateHz);
        (_taps, _gainBound) = Oversampling == 1 ? ([], 0) : MakeTaps();
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
            Span<float> tail = stackalloc float[2 * TapCount - 2 + 2 * Lanes];
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
            // The samples of the last piece are counted already, and their magnitude bounds what lies between.
            var largest = LargestMagnitude(_line.AsSpan(0, TapCount - 1 + count));
            _samplePeak = Math.Max(_samplePeak, largest);
            if (largest * _gainBound > _interpolatedPeak)
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
        for (; i + Lanes <= samples.Length; i += Lanes)
            largest = Vector256.Max(largest, Vector256.Abs(Vector256.LoadUnsafe(ref MemoryMarshal.GetReference(samples), (nuint)i)));
        var result = LargestLane(largest);
        for (; i < samples.Length; i++)
            result = Math.Max(result, Math.Abs(samples[i]));
        return result;
    }

    // The largest magnitude between the samples: `count` places, the first with the window line[0..TapCount].
    private float PeakBetween(ReadOnlySpan<float> line, int count) =>
        Oversampling switch
        {
            1 => 0,
            2 => PeakHalfway(line, count),
            _ => PeakAtQuarters(line, count),
        };

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private float PeakAtQuarters(ReadOnlySpan<float> line, int count)
    {
        var largest = Vector256<float>.Zero;
        ref var taps = ref MemoryMarshal.GetArrayDataReference(_taps);
        for (var n = 0; n < count; n += 2 * Lanes)
        {
            Vector256<float> middle = default,
                even = default,
                odd = default,
                middle2 = default,
                even2 = default,
                odd2 = default;
            ref var up = ref Unsafe.Add(ref MemoryMarshal.GetReference(line), n);
            ref var down = ref Unsafe.Add(ref up, TapCount - 1);
            ref var tap = ref taps;
            for (var k = 0; k < TapCount / 2; k++)
            {
                var m = Vector256.LoadUnsafe(ref tap);
                var e = Vector256.LoadUnsafe(ref tap, Lanes);
                var o = Vector256.LoadUnsafe(ref tap, 2 * Lanes);
                var (x, y) = (Vector256.LoadUnsafe(ref up), Vector256.LoadUnsafe(ref down));
                var (sum, difference) = (x + y, x - y);
                middle = Vector256.MultiplyAddEstimate(m, sum, middle);
                even = Vector256.MultiplyAddEstimate(e, sum, even);
                odd = Vector256.MultiplyAddEstimate(o, difference, odd);
                (x, y) = (Vector256.LoadUnsafe(ref up, Lanes), Vector256.LoadUnsafe(ref down, Lanes));
                (sum, difference) = (x + y, x - y);
                middle2 = Vector256.MultiplyAddEstimate(m, sum, middle2);
                even2 = Vector256.MultiplyAddEstimate(e, sum, even2);
                odd2 = Vector256.MultiplyAddEstimate(o, difference, odd2);
                tap = ref Unsafe.Add(ref tap, 3 * Lanes);
                up = ref Unsafe.Add(ref up, 1);
                down = ref Unsafe.Subtract(ref down, 1);
            }
            // The larger of |even + odd| and |even − odd| is |even| + |odd|.
            var first = Vector256.Max(Vector256.Abs(middle), Vector256.Abs(even) + Vector256.Abs(odd));
            var second = Vector256.Max(Vector256.Abs(middle2), Vector256.Abs(even2) + Vector256.Abs(odd2));
            largest = Vector256.Max(largest, Vector256.Max(Only(first, count - n), Only(second, count - n - Lanes)));
        }
        return LargestLane(largest);
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private float PeakHalfway(ReadOnlySpan<float> line, int count)
    {
        var largest = Vector256<float>.Zero;
        ref var from = ref MemoryMarshal.GetReference(line);
        ref var taps = ref MemoryMarshal.GetArrayDataReference(_taps);
        for (var n = 0; n < count; n += Lanes)
        {
            Vector256<float> middle = default;
            for (var k = 0; k < TapCount / 2; k++)
            {
                var sum = Vector256.LoadUnsafe(ref from, (nuint)(n + k)) + Vector256.LoadUnsafe(ref from, (nuint)(n + TapCount - 1 - k));
                middle = Vector256.MultiplyAddEstimate(Vector256.LoadUnsafe(ref taps, (nuint)(3 * k * Lanes)), sum, middle);
            }
            largest = Vector256.Max(largest, Only(Vector256.Abs(middle), count - n));
        }
        return LargestLane(largest);
    }

    private static float LargestLane(Vector256<float> values)
    {
        var result = 0f;
        for (var lane = 0; lane < Lanes; lane++)
            result = Math.Max(result, values[lane]);
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

    private static (float[] Taps, float GainBound) MakeTaps()
    {
        var (quarter, half) = (Phase(0.25), Phase(0.5));
        var taps = new float[3 * TapCount / 2 * Lanes];
        for (var k = 0; k < TapCount / 2; k++)
        {
            // Three quarters read backwards is a quarter.
            var (near, far) = (quarter[k], quarter[TapCount - 1 - k]);
            taps.AsSpan(3 * k * Lanes, Lanes).Fill((float)half[k]);
            taps.AsSpan((3 * k + 1) * Lanes, Lanes).Fill((float)((near + far) / 2));
            taps.AsSpan((3 * k + 2) * Lanes, Lanes).Fill((float)((near - far) / 2));
        }
        // The share covers the rounding of the sums.
        return (taps, (float)(1.0001 * Math.Max(quarter.Sum(Math.Abs), half.Sum(Math.Abs))));
    }

    // The taps for a place this share of a frame after the sample TapCount/2 − 1 places into the window.
    private static double[] Phase(double share)
    {
        var taps = new double[TapCount];
        for (var k = 0; k < TapCount; k++)
        {
            var offset = k - (TapCount / 2 - 1) - share;
            taps[k] = Math.Sin(Math.PI * offset) / (Math.PI * offset) * Kaiser(offset / (TapCount / 2.0));
        }
        // A constant is to come out as it went in.
        var sum = taps.Sum();
        return Array.ConvertAll(taps, tap => tap / sum);
    }

    private static double Kaiser(double share) => KaiserSinc.BesselI0(Beta * Math.Sqrt(1 - share * share)) / KaiserSinc.BesselI0(Beta);
}
