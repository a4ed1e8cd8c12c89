using System.Numerics;

namespace Offtape.Signal;

/// <summary>
/// Looks for several templates in one input of any length, block by block (overlap-save): the input's spectrum is worked out once for all.
/// The output is Σ x[n + m]·(t[m] − i·q[m]) ÷ Σ t²: real part for the template, imaginary part for its quadrature, so that its magnitude is
/// the envelope of the match. Each output stands at the frame where the template would begin: the filter needs <see cref="LatencyFrames"/>
/// more input before it can give it. Blocks begin at the same frames however the input is cut, so that the output does not depend on it.
/// </summary>
public sealed class MatchedFilterBank
{
    // Below this the fixed cost of a block outweighs its transforms.
    private const int ShortestTransform = 4096;

    private readonly MatchedTemplate[] templates;
    private readonly Spectrum[] inPhase;
    private readonly Spectrum?[] quadrature;
    private readonly RealTransform transform;
    private readonly float[] window;
    private readonly Spectrum input;
    private readonly Spectrum product;
    private readonly float[] outputRe;
    private readonly float[] outputIm;
    private readonly double[] energySum;
    private readonly float[] localEnergy;
    private readonly int hop;
    private int filled;
    private long windowFrame;

    /// <param name="templates">At least one; the longest sets the block.</param>
    /// <param name="transformLength">Power of two, at least twice the longest template; 0: about four times.</param>
    /// <exception cref="ArgumentException">No template, or a transform too short for them.</exception>
    public MatchedFilterBank(IReadOnlyList<MatchedTemplate> templates, int transformLength = 0)
    {
        if (templates.Count == 0)
            throw new ArgumentException("A bank needs at least one template.", nameof(templates));
        this.templates = [.. templates];
        MaxTemplateLength = templates.Max(template => template.Length);
        if (transformLength == 0)
            transformLength = Math.Max(ShortestTransform, TransformLength.AtLeast(4 * MaxTemplateLength));
        ArgumentOutOfRangeException.ThrowIfLessThan(transformLength, 2 * MaxTemplateLength);
        transform = new RealTransform(transformLength);
        hop = transformLength - MaxTemplateLength + 1;
        window = new float[transformLength];
        input = new Spectrum(transform.BinCount);
        product = new Spectrum(transform.BinCount);
        outputRe = new float[transformLength];
        outputIm = new float[transformLength];
        energySum = new double[transformLength + 1];
        localEnergy = new float[hop];
        inPhase = [.. templates.Select(template => SpectrumOf(template.InPhase, 1 / template.Energy))];
        // The output's imaginary part is minus the correlation with the quadrature.
        quadrature = [.. templates.Select(t => t.Quadrature is null ? null : SpectrumOf(t.Quadrature, -1 / t.Energy))];
    }

    public int MaxTemplateLength { get; }

    /// <summary>How many frames of input after a frame are needed before its output is due.</summary>
    public int LatencyFrames => MaxTemplateLength - 1;

    /// <summary>The most output that is handed over at once.</summary>
    public int LongestBlockFrames => hop;

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

    /// <summary>
    /// Ends the input, as if silence followed: hands over the output up to the last input frame, and begins anew at frame 0.
    /// </summary>
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
        transform.Forward(window, input.Re, input.Im);
        SumEnergy();
        for (var i = 0; i < templates.Length; i++)
        {
            if (i == 0 || templates[i].Length != templates[i - 1].Length)
                FillLocalEnergy(templates[i].Length, count);
            Correlate(inPhase[i], outputRe);
            var im = ReadOnlySpan<float>.Empty;
            if (quadrature[i] is { } spectrum)
            {
                Correlate(spectrum, outputIm);
                im = outputIm.AsSpan(0, count);
            }
            // The transforms' rounding is spread over the whole block, 135 dB below it: what lies 110 dB below the block's mean, or silent
            // in it, is not to be judged by it.
            var energyFloor = energySum[^1] * templates[i].Length / window.Length * 1e-11;
            var energy = localEnergy.AsSpan(0, count);
            handler(new MatchedBlock(i, windowFrame, outputRe.AsSpan(0, count), im, energy, templates[i].Energy, energyFloor));
        }
        window.AsSpan(count, Math.Max(0, filled - count)).CopyTo(window);
        filled -= count;
        windowFrame += count;
    }

    private void Correlate(Spectrum template, float[] output)
    {
        SpectrumProduct.WithConjugate(input.Re, input.Im, template.Re, template.Im, product.Re, product.Im);
        transform.Inverse(product.Re, product.Im, output);
    }

    // The sums start anew in every block: nothing drifts however long the input, and in double the difference of two of them keeps the
    // energy of a passage 100 dB below the loudest of its block.
    private void SumEnergy()
    {
        var sum = 0.0;
        for (var i = 0; i < window.Length; i++)
        {
            sum += (double)window[i] * window[i];
            energySum[i + 1] = sum;
        }
    }

    private void FillLocalEnergy(int length, int count)
    {
        var from = energySum.AsSpan(0, count);
        var to = energySum.AsSpan(length, count);
        var step = Vector<double>.Count;
        var i = 0;
        for (; i <= count - 2 * step; i += 2 * step)
        {
            var low = new Vector<double>(to[i..]) - new Vector<double>(from[i..]);
            var high = new Vector<double>(to[(i + step)..]) - new Vector<double>(from[(i + step)..]);
            Vector.Narrow(low, high).CopyTo(localEnergy, i);
        }
        for (; i < count; i++)
            localEnergy[i] = (float)(to[i] - from[i]);
    }

    private Spectrum SpectrumOf(float[] signal, double scale)
    {
        var spectrum = new Spectrum(transform.BinCount);
        Array.Clear(window);
        for (var i = 0; i < signal.Length; i++)
            window[i] = (float)(signal[i] * scale);
        transform.Forward(window, spectrum.Re, spectrum.Im);
        return spectrum;
    }

    private sealed class Spectrum(int binCount)
    {
        public float[] Re { get; } = new float[binCount];

        public float[] Im { get; } = new float[binCount];
    }
}
