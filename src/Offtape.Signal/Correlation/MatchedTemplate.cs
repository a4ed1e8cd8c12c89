namespace Offtape.Signal;

/// <summary>What a matched filter looks for: a short signal and its quadrature (the same a quarter cycle late at every frequency).</summary>
public sealed class MatchedTemplate
{
    /// <param name="inPhase">The signal; at least one sample, not all zero.</param>
    /// <param name="quadrature">Its quadrature, of the same length, where a formula gives it; empty: made from the signal by the transform.</param>
    /// <exception cref="ArgumentException">The template is empty, silent, or the lengths differ.</exception>
    public MatchedTemplate(ReadOnlySpan<float> inPhase, ReadOnlySpan<float> quadrature = default)
    {
        if (!quadrature.IsEmpty && quadrature.Length != inPhase.Length)
            throw new ArgumentException("Template and quadrature differ in length.", nameof(quadrature));
        InPhase = inPhase.ToArray();
        Quadrature = quadrature.IsEmpty ? MakeQuadrature(inPhase) : quadrature.ToArray();
        foreach (var value in inPhase)
            Energy += (double)value * value;
        if (!(Energy > 0 && double.IsFinite(Energy)))
            throw new ArgumentException(
                "A template needs at least one sample that is not zero, and none that is not a number.",
                nameof(inPhase)
            );
    }

    public int Length => InPhase.Length;

    /// <summary>Sum of the squared samples of the in-phase part.</summary>
    public double Energy { get; }

    internal float[] InPhase { get; }

    internal float[] Quadrature { get; }

    // The Hilbert transform by the spectrum, zero-padded fourfold so that its tails do not wrap into the template; what falls outside the
    // template's own length is dropped.
    private static float[] MakeQuadrature(ReadOnlySpan<float> inPhase)
    {
        var transform = new RealTransform(TransformLength.AtLeast(4 * inPhase.Length));
        var padded = new float[transform.Length];
        inPhase.CopyTo(padded);
        var re = new float[transform.BinCount];
        var im = new float[transform.BinCount];
        transform.Forward(padded, re, im);
        for (var k = 0; k < re.Length; k++)
            (re[k], im[k]) = (im[k], -re[k]);
        (re[0], re[^1]) = (0, 0);
        transform.Inverse(re, im, padded);
        return padded[..inPhase.Length];
    }
}
