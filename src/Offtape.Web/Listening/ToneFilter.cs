using Offtape.Signal;

namespace Offtape.Web.Listening;

/// <summary>A filter applied to a piece of sound by one transform: no piece depends on another.</summary>
internal static class ToneFilter
{
    /// <summary>Σ taps[m]·input[i + taps.Length − 1 − m] for each output frame i.</summary>
    /// <param name="input">As many frames as the output and the taps less one.</param>
    /// <param name="taps">The filter.</param>
    /// <param name="output">Receives the filtered sound.</param>
    public static void Apply(ReadOnlySpan<float> input, ReadOnlySpan<float> taps, Span<float> output)
    {
        var length = 2;
        while (length < input.Length)
            length *= 2;
        var transform = new RealTransform(length);
        var (sound, filter) = (new float[length], new float[length]);
        input.CopyTo(sound);
        taps.CopyTo(filter);
        var bins = transform.BinCount;
        var (aRe, aIm, bRe, bIm) = (new float[bins], new float[bins], new float[bins], new float[bins]);
        transform.Forward(sound, aRe, aIm);
        transform.Forward(filter, bRe, bIm);
        for (var k = 0; k < bins; k++)
            (aRe[k], aIm[k]) = (aRe[k] * bRe[k] - aIm[k] * bIm[k], aRe[k] * bIm[k] + aIm[k] * bRe[k]);
        transform.Inverse(aRe, aIm, sound);
        // What wraps round falls on the frames before these.
        sound.AsSpan(taps.Length - 1, output.Length).CopyTo(output);
    }
}
