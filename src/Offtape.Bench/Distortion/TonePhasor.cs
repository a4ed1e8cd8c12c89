using System.Numerics;

namespace Offtape.Bench;

/// <summary>
/// e^(j·phase) of a tone, sample by sample, which is turned to follow it, and raised to the phase of its harmonics. All turning is by
/// multiplication: the phase between two frames is a straight line.
/// </summary>
internal sealed class TonePhasor
{
    // So often the rotation begins anew from its angle, before rounding adds up.
    private const int RestartFrames = 256;

    private readonly double[] _cos;
    private readonly double[] _sin;

    /// <param name="frameCount">How many samples.</param>
    /// <param name="turn">Cycles a sample.</param>
    internal TonePhasor(int frameCount, double turn)
    {
        (_cos, _sin) = (new double[frameCount], new double[frameCount]);
        Array.Fill(_cos, 1);
        for (var from = 0; from < frameCount; from += RestartFrames)
        {
            var cycles = turn * from;
            Turn(from, Math.Min(RestartFrames, frameCount - from), 2 * Math.PI * (cycles - Math.Floor(cycles)), 2 * Math.PI * turn);
        }
    }

    private TonePhasor(TonePhasor other) => (_cos, _sin) = ((double[])other._cos.Clone(), (double[])other._sin.Clone());

    internal TonePhasor Copy() => new(this);

    /// <summary>Multiplies by another of the same length: phases add up.</summary>
    internal void Multiply(TonePhasor other)
    {
        for (var i = 0; i < _cos.Length; i++)
        {
            var (c, s) = (_cos[i], _sin[i]);
            _cos[i] = c * other._cos[i] - s * other._sin[i];
            _sin[i] = c * other._sin[i] + s * other._cos[i];
        }
    }

    /// <summary>Takes a tone of this phase off: a sine of no phase counts as real.</summary>
    internal void Subtract(Complex peak, Span<float> samples)
    {
        for (var i = 0; i < samples.Length; i++)
            samples[i] -= (float)(peak.Real * _sin[i] + peak.Imaginary * _cos[i]);
    }

    /// <summary>Turns on by angles at the middles of half-overlapping frames, straight lines between them.</summary>
    internal void Turn(double[] angles, int hop)
    {
        // The middle of frame m is at (m + 1)·hop.
        for (var from = 0; from < _cos.Length; from += hop)
        {
            var m = Math.Clamp(from / hop - 1, 0, Math.Max(0, angles.Length - 2));
            var slope = angles.Length < 2 || from < hop || from / hop >= angles.Length ? 0 : (angles[m + 1] - angles[m]) / hop;
            var start =
                from < hop ? angles[0]
                : from / hop >= angles.Length ? angles[^1]
                : angles[m];
            Turn(from, Math.Min(hop, _cos.Length - from), start, slope);
        }
    }

    /// <summary>Complex peaks under a Hann window, frame by frame, half overlapping; a sine of no phase counts as real.</summary>
    internal Complex[] Frames(ReadOnlySpan<float> samples, int hop)
    {
        var frames = new Complex[Math.Max(1, samples.Length / hop - 1)];
        var window = new double[hop];
        for (var i = 0; i < hop; i++)
            window[i] = 0.5 - 0.5 * Math.Cos(Math.PI * (i + 0.5) / hop);
        // Each half of a frame serves two frames, with the rising and with the falling half of the window.
        for (var half = 0; half <= frames.Length; half++)
        {
            var from = half * hop;
            var (upRe, upIm, allRe, allIm) = (0.0, 0.0, 0.0, 0.0);
            for (var i = 0; i < hop && from + i < samples.Length; i++)
            {
                // y·j·e^(−jx): the real part goes with the sine.
                var (re, im) = (samples[from + i] * _sin[from + i], samples[from + i] * _cos[from + i]);
                upRe += window[i] * re;
                upIm += window[i] * im;
                allRe += re;
                allIm += im;
            }
            // The window sums to the hop, and a sine's peak is twice the mean.
            if (half < frames.Length)
                frames[half] += new Complex(upRe, upIm) * (2.0 / hop);
            if (half > 0)
                frames[half - 1] += new Complex(allRe - upRe, allIm - upIm) * (2.0 / hop);
        }
        return frames;
    }

    private void Turn(int from, int count, double angle, double step)
    {
        var (stepSin, stepCos) = Math.SinCos(step);
        var (s, c) = Math.SinCos(angle);
        for (var i = from; i < from + count; i++)
        {
            var (oldCos, oldSin) = (_cos[i], _sin[i]);
            _cos[i] = oldCos * c - oldSin * s;
            _sin[i] = oldCos * s + oldSin * c;
            (c, s) = (c * stepCos - s * stepSin, c * stepSin + s * stepCos);
        }
    }
}
