namespace Offtape.Signal;

/// <summary>
/// Divides a synchronised sweep out of what a machine made of it: what is left is the machine's response about time 0, and that of each
/// harmonic L·ln n earlier (Novak, Lotton and Simon, JAES 63(10), 2015: non-linear convolution). The division is by the sweep as it was sent,
/// fades and all, so that the response is true up to the ends of the band. An instance holds its scratch: one per thread.
/// </summary>
public sealed class SweepDeconvolver
{
    private readonly RealTransform _transform;
    private readonly float[] _input;
    private readonly double[] _inverseRe;
    private readonly double[] _inverseIm;
    private readonly int _firstBin;
    private readonly int _lastBin;

    /// <param name="sweep">The sweep's formula.</param>
    /// <param name="sent">The sweep as it was sent; sent[0] is its time 0.</param>
    /// <param name="sampleRateHz">Frames in a second.</param>
    /// <param name="longestFrames">The longest stretch that will be deconvolved, margins included; at least that of the sweep.</param>
    public SweepDeconvolver(SynchronisedSweep sweep, ReadOnlySpan<float> sent, double sampleRateHz, int longestFrames)
    {
        if (longestFrames < sent.Length)
            throw new ArgumentOutOfRangeException(nameof(longestFrames), longestFrames, "At least as long as the sweep.");
        (Sweep, SampleRateHz) = (sweep, sampleRateHz);
        // Room for the earliest harmonic that is read, the tenth, to lie before time 0 without meeting the end.
        var room = (int)Math.Ceiling(sweep.HarmonicLeadSeconds(10) * sampleRateHz);
        _transform = new RealTransform(TransformLength.AtLeast(Math.Max(longestFrames, sent.Length + room)));
        _input = new float[_transform.Length];
        var (re, im) = (new float[_transform.BinCount], new float[_transform.BinCount]);
        sent.CopyTo(_input);
        _transform.Forward(_input, re, im);
        (_inverseRe, _inverseIm) = (new double[re.Length], new double[re.Length]);
        // Outside its range the sweep has next to nothing to divide by.
        _firstBin = (int)Math.Ceiling(sweep.StartHz / BinHz);
        _lastBin = (int)Math.Min(Math.Floor(sweep.EndHz / BinHz), re.Length - 1);
        for (var k = _firstBin; k <= _lastBin; k++)
        {
            var power = (double)re[k] * re[k] + (double)im[k] * im[k];
            (_inverseRe[k], _inverseIm[k]) = (re[k] / power, -im[k] / power);
        }
    }

    public SynchronisedSweep Sweep { get; }

    public double SampleRateHz { get; }

    internal double BinHz => SampleRateHz / _transform.Length;

    /// <summary>Deconvolves what came back.</summary>
    /// <param name="received">One channel; as much of it as was announced at most.</param>
    /// <param name="startFrame">Frame of it that is the sweep's time 0.</param>
    public SweepSpectrum Deconvolve(ReadOnlySpan<float> received, int startFrame)
    {
        Array.Clear(_input);
        received.CopyTo(_input);
        var (re, im) = (new float[_transform.BinCount], new float[_transform.BinCount]);
        _transform.Forward(_input, re, im);
        // The margin before time 0 is taken out as a delay: a turn of phase that grows with frequency.
        var turn = 2 * Math.PI * startFrame / _transform.Length;
        for (var k = 0; k < re.Length; k++)
        {
            if (k < _firstBin || k > _lastBin)
            {
                (re[k], im[k]) = (0, 0);
                continue;
            }
            var (a, b) = (re[k] * _inverseRe[k] - im[k] * _inverseIm[k], re[k] * _inverseIm[k] + im[k] * _inverseRe[k]);
            var (s, c) = Math.SinCos(turn * k % (2 * Math.PI));
            (re[k], im[k]) = ((float)(a * c - b * s), (float)(a * s + b * c));
        }
        return new SweepSpectrum(re, im, BinHz, Sweep);
    }

    /// <summary>
    /// Where within ±reach of time 0 the response is strongest, in seconds: the top of its envelope, whatever its phase; in a part of the band.
    /// </summary>
    /// <param name="spectrum">Of this deconvolver.</param>
    /// <param name="reachSeconds">How far to look on either side.</param>
    /// <param name="fromHz">Lower end of what is looked at.</param>
    /// <param name="toHz">Upper end.</param>
    public double FindArrival(SweepSpectrum spectrum, double reachSeconds, double fromHz, double toHz)
    {
        var (re, im) = (new float[spectrum.Re.Length], new float[spectrum.Im.Length]);
        var (first, last) = ((int)(fromHz / BinHz), (int)Math.Min(toHz / BinHz, re.Length - 1));
        for (var k = first; k <= last; k++)
        {
            // Raised cosine over the logarithm of frequency: a pulse with low side lobes.
            var weight = (float)(0.5 - 0.5 * Math.Cos(2 * Math.PI * Math.Log((double)k / first) / Math.Log((double)last / first)));
            (re[k], im[k]) = (weight * spectrum.Re[k], weight * spectrum.Im[k]);
        }
        var (pulse, quarterLate) = (new float[_transform.Length], new float[_transform.Length]);
        _transform.Inverse(re, im, pulse);
        // A quarter cycle late at every frequency: times −j.
        for (var k = first; k <= last; k++)
            (re[k], im[k]) = (im[k], -re[k]);
        _transform.Inverse(re, im, quarterLate);
        var reach = (int)Math.Min(reachSeconds * SampleRateHz, pulse.Length / 2 - 1);
        var (best, at) = (0f, 0);
        for (var i = -reach; i <= reach; i++)
        {
            var k = (i + pulse.Length) % pulse.Length;
            var power = pulse[k] * pulse[k] + quarterLate[k] * quarterLate[k];
            if (power > best)
                (best, at) = (power, i);
        }
        return at / SampleRateHz;
    }
}
