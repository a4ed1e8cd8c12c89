namespace Offtape.Signal;

/// <summary>What a matched filter looks for: a short signal and, for the envelope of the match, its quadrature.</summary>
public sealed class MatchedTemplate
{
    /// <param name="inPhase">The signal; at least one sample, not all zero.</param>
    /// <param name="quadrature">
    /// The same a quarter cycle late at every frequency, of the same length, where a formula gives it; empty: made by the transform.
    /// </param>
    /// <exception cref="ArgumentException">The template is empty, silent or not finite, or the lengths differ.</exception>
    public MatchedTemplate(ReadOnlySpan<float> inPhase, ReadOnlySpan<float> quadrature = default)
        : this(inPhase, quadrature.IsEmpty ? MakeQuadrature(inPhase) : quadrature.ToArray()) { }

    private MatchedTemplate(ReadOnlySpan<float> inPhase, float[]? quadrature)
    {
        if (quadrature is not null && quadrature.Length != inPhase.Length)
            throw new ArgumentException("Template and quadrature differ in length.", nameof(quadrature));
        InPhase = inPhase.ToArray();
        Quadrature = quadrature;
        foreach (var value in inPhase)
            Energy += (double)value * value;
        if (!(Energy > 0 && double.IsFinite(Energy)))
            throw new ArgumentException("A template needs a sample that is not zero, and none that is not finite.", nameof(inPhase));
    }

    public int Length => InPhase.Length;

    /// <summary>Sum of the squared samples of the in-phase part.</summary>
    public double Energy { get; }

    internal float[] InPhase { get; }

    /// <summary>Null where only the in-phase output is wanted.</summary>
    internal float[]? Quadrature { get; }

    /// <summary>A template without quadrature: the plain correlation with its sign, for half the work.</summary>
    /// <inheritdoc cref="MatchedTemplate(ReadOnlySpan{float}, ReadOnlySpan{float})"/>
    public static MatchedTemplate InPhaseOnly(ReadOnlySpan<float> inPhase) => new(inPhase, null);

    // The Hilbert transform by the spectrum, zero-padded to four times the length: its tails fall off as 1/t, and a quarter of what would
    // wrap round falls into the template. What falls outside the template's own length is dropped.
    private static float[] MakeQuadrature(ReadOnlySpan<float> inPhase)
    {
        var transform = new RealTransform(TransformLength.AtLeast(4 * inPhase.Length));
        var padded = new float[transform.Length];
        inPhase.CopyTo(padded);
        var re = new float[transform.BinCount];
        var im = new float[transform.BinCount];
        transform.Forward(padded, re, im);
        // −i at positive frequencies turns re + i·im into im − i·re.
        for (var k = 0; k < re.Length; k++)
            (re[k], im[k]) = (im[k], -re[k]);
        (re[0], re[^1]) = (0, 0);
        transform.Inverse(re, im, padded);
        return padded[..inPhase.Length];
    }
}
