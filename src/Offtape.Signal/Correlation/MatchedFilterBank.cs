namespace Offtape.Signal;

/// <summary>
/// Looks for several templates in one input of any length, block by block (overlap-save): the input's spectrum is computed once for all.
/// The output is complex, Σ x[n + m]·(t[m] − i·q[m]) ÷ Σ t²: real part for the template, imaginary part for its quadrature, so that its
/// magnitude is the envelope of the match. Each output stands at the frame where the template would begin: the filter needs
/// <see cref="LatencyFrames"/> more input before it can give it.
/// </summary>
public sealed class MatchedFilterBank
{
    private readonly MatchedTemplate[] templates;
    private readonly float[][] spectraRe;
    private readonly float[][] spectraIm;
    private readonly RealTransform forward;
    private readonly ComplexTransform inverse;
    private readonly float[] window;
    private readonly float[] inputRe;
    private readonly float[] inputIm;
    private readonly float[] productRe;
    private readonly float[] productIm;
    private readonly double[] energySum;
    private readonly float[] localEnergy;
    private readonly int hop;
    private int filled;
    private long windowFrame;

    /// <param name="templates">At least one; the longest sets the block.</param>
    /// <param name="transformLength">Power of two, at least twice the longest template; 0: chosen.</param>
    public MatchedFilterBank(IReadOnlyList<MatchedTemplate> templates, int transformLength = 0)
    {
        if (templates.Count == 0)
            throw new ArgumentException("A bank needs at least one template.", nameof(templates));
        this.templates = [.. templates];
        MaxTemplateLength = templates.Max(t => t.Length);
        if (transformLength == 0)
            transformLength = Math.Max(4096, TransformLength.AtLeast(4 * MaxTemplateLength));
        ArgumentOutOfRangeException.ThrowIfLessThan(transformLength, 2 * MaxTemplateLength, nameof(transformLength));
        forward = new RealTransform(transformLength);
        inverse = new ComplexTransform(transformLength);
        hop = transformLength - MaxTemplateLength + 1;
        window = new float[transformLength];
        inputRe = new float[forward.BinCount];
        inputIm = new float[forward.BinCount];
        productRe = new float[transformLength];
        productIm = new float[transformLength];
        energySum = new double[transformLength + 1];
        localEnergy = new float[hop];
        spectraRe = new float[templates.Count][];
        spectraIm = new float[templates.Count][];
        for (var i = 0; i < templates.Count; i++)
            (spectraRe[i], spectraIm[i]) = Spectrum(templates[i]);
    }

    public int MaxTemplateLength { get; }

    /// <summary>How many frames of input after a frame are needed before its output is due.</summary>
    public int LatencyFrames => MaxTemplateLength - 1;

    /// <summary>Takes any number of input samples and hands over what output is complete.</summary>
    public void Process(ReadOnlySpan<float> input, MatchedBlockHandler handler)
    {
        while (!input.IsEmpty)
        {
            var count = Math.Min(input.Length, window.Length - filled);
            input[..count].CopyTo(window.AsSpan(filled));
            filled += count;
            input = input[count..];
            if (filled == window.Length)
                Emit(hop, handler);
        }
    }

    /// <summary>Ends the input, as if silence followed: hands over the output up to the last input frame, and begins anew at frame 0.</summary>
    public void Finish(MatchedBlockHandler handler)
    {
        while (filled > 0)
        {
            window.AsSpan(filled).Clear();
            Emit(Math.Min(filled, hop), handler);
        }
        Reset();
    }

    /// <summary>Forgets all input; the next sample is frame 0.</summary>
    public void Reset()
    {
        filled = 0;
        windowFrame = 0;
    }

    private void Emit(int count, MatchedBlockHandler handler)
    {
        forward.Forward(window, inputRe, inputIm);
        // Sums start anew in every block: nothing drifts however long the input.
        energySum[0] = 0;
        for (var i = 0; i < window.Length; i++)
            energySum[i + 1] = energySum[i] + (double)window[i] * window[i];
        for (var t = 0; t < templates.Length; t++)
        {
            var length = templates[t].Length;
            for (var i = 0; i < count; i++)
                localEnergy[i] = (float)(energySum[i + length] - energySum[i]);
            Multiply(spectraRe[t], spectraIm[t]);
            inverse.Inverse(productRe, productIm);
            handler(
                new MatchedBlock(
                    t,
                    windowFrame,
                    productRe.AsSpan(0, count),
                    productIm.AsSpan(0, count),
                    localEnergy.AsSpan(0, count),
                    templates[t].Energy
                )
            );
        }
        window.AsSpan(count, Math.Max(0, filled - count)).CopyTo(window);
        filled -= count;
        windowFrame += count;
    }

    // The input is real: its negative frequencies are the mirror image of the positive ones.
    private void Multiply(float[] re, float[] im)
    {
        var length = window.Length;
        for (var k = 0; k < length; k++)
        {
            var (xr, xi) = k <= length / 2 ? (inputRe[k], inputIm[k]) : (inputRe[length - k], -inputIm[length - k]);
            productRe[k] = xr * re[k] - xi * im[k];
            productIm[k] = xr * im[k] + xi * re[k];
        }
    }

    // conj(DFT(t + iq)) ÷ Σt²
    private (float[] Re, float[] Im) Spectrum(MatchedTemplate template)
    {
        var re = new float[window.Length];
        var im = new float[window.Length];
        template.InPhase.CopyTo(re, 0);
        template.Quadrature.CopyTo(im, 0);
        inverse.Forward(re, im);
        var scale = (float)(1 / template.Energy);
        for (var k = 0; k < re.Length; k++)
            (re[k], im[k]) = (re[k] * scale, -im[k] * scale);
        return (re, im);
    }
}
