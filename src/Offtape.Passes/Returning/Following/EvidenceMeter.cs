using Offtape.Passes.Listening;
using Offtape.Signal;

namespace Offtape.Passes.Following;

/// <summary>Measures <see cref="TakeEvidence"/> along a path.</summary>
internal sealed class EvidenceMeter
{
    private const int WindowFrames = NoiseSpectrum.WindowFrames;
    private const int TransformLength = NoiseSpectrum.TransformLength;
    private const int HopFrames = 320;
    private const double LowHz = 50;
    private const double HighHz = 5100;

    // A window counts in a band where the capture stands 9 dB out of the hiss and the source is within 40 dB of the band's loudest window.
    private const double OverHiss = 8;
    private const double BelowLoudest = 1e-4;

    // … and within 25 dB of the window's loudest band: further down the tape's own distortion and intermodulation stand in its place.
    private const float BelowWindow = 3e-3f;

    private readonly RealTransform _transform = new(TransformLength);
    private readonly float[] _window = new float[WindowFrames];
    private readonly float[] _padded = new float[TransformLength];
    private readonly float[] _sourceRe;
    private readonly float[] _sourceIm;
    private readonly float[] _captureRe;
    private readonly float[] _captureIm;
    private readonly PathReader _along;
    private readonly int[] _edges;
    private readonly double _rate;

    internal EvidenceMeter(double workingRateHz)
    {
        _rate = workingRateHz;
        _along = new PathReader(workingRateHz);
        var bins = _transform.BinCount;
        (_sourceRe, _sourceIm, _captureRe, _captureIm) = (new float[bins], new float[bins], new float[bins], new float[bins]);
        Windows.Hann(_window, WindowForm.Symmetric);
        var edges = new List<int>();
        for (var hertz = LowHz; hertz <= HighHz * 1.01; hertz *= Math.Pow(2, 1.0 / 3))
            edges.Add((int)Math.Round(hertz * TransformLength / workingRateHz));
        _edges = [.. edges.Distinct()];
    }

    /// <param name="source">The clean sound.</param>
    /// <param name="loudness">Its level.</param>
    /// <param name="capture">What came back.</param>
    /// <param name="noise">What the capture is where nothing plays.</param>
    /// <param name="curve">Capture seconds over source seconds, both in seconds of the tracker (frames ÷ rate).</param>
    /// <param name="fromSource">First source second to judge.</param>
    /// <param name="toSource">Last.</param>
    /// <param name="cancellation">Stops it.</param>
    internal TakeEvidence Measure(
        WorkingSignal source,
        LevelCurve loudness,
        WorkingSignal capture,
        NoiseSpectrum noise,
        PathCurve curve,
        double fromSource,
        double toSource,
        CancellationToken cancellation = default
    )
    {
        var bandCount = _edges.Length - 1;
        var windows = new List<(float[] Source, float[] Capture, float[] CrossRe, float[] CrossIm)>();
        var first = (long)Math.Floor(fromSource * _rate / HopFrames);
        var last = (long)Math.Ceiling(toSource * _rate / HopFrames);
        // A long take is judged by evenly spread windows: 3,000 are plenty.
        var stride = Math.Max(1, (last - first) / 3000);
        var totals = new List<(double Source, double Capture)>();
        var noiseTotal = 0.0;
        for (var k = _edges[0]; k < _edges[^1]; k++)
            noiseTotal += noise.Power[k];
        for (var w = first; w <= last; w += stride)
        {
            if ((w & 0xFF) == 0)
                cancellation.ThrowIfCancellationRequested();
            var centre = w * HopFrames / _rate;
            if (loudness.DbAt(centre) < loudness.PeakDb - 40)
                continue;
            source.Read(w * HopFrames - WindowFrames / 2, _padded.AsSpan(0, WindowFrames));
            Transform(_sourceRe, _sourceIm);
            _along.Read(capture, curve, centre, _padded.AsSpan(0, WindowFrames));
            Transform(_captureRe, _captureIm);
            var (s, c) = (new float[bandCount], new float[bandCount]);
            var (re, im) = (new float[bandCount], new float[bandCount]);
            double sourceTotal = 0,
                captureTotal = 0;
            for (var b = 0; b < bandCount; b++)
            {
                for (var k = _edges[b]; k < _edges[b + 1]; k++)
                {
                    s[b] += _sourceRe[k] * _sourceRe[k] + _sourceIm[k] * _sourceIm[k];
                    c[b] += _captureRe[k] * _captureRe[k] + _captureIm[k] * _captureIm[k];
                    re[b] += _captureRe[k] * _sourceRe[k] + _captureIm[k] * _sourceIm[k];
                    im[b] += _captureIm[k] * _sourceRe[k] - _captureRe[k] * _sourceIm[k];
                }
                (sourceTotal, captureTotal) = (sourceTotal + s[b], captureTotal + c[b]);
            }
            totals.Add((sourceTotal, captureTotal));
            windows.Add((s, c, re, im));
        }
        return Sum(windows, noise, HeardShare(totals, noiseTotal));
    }

    /// <summary>Of the windows that should stand out of the hiss, by the gain that the loud ones show, the share that does.</summary>
    private static double HeardShare(List<(double Source, double Capture)> totals, double noise)
    {
        if (totals.Count == 0)
            return 0;
        var loudest = totals.Max(t => t.Source);
        var gains = totals.Where(t => t.Source > 0.1 * loudest).Select(t => Math.Max(t.Capture - noise, 0) / t.Source).Order().ToArray();
        // Above the middle: where the capture holds only a part of the source, the silent rest must not lower what is expected.
        var gain = gains[gains.Length * 3 / 4];
        int expected = 0,
            heard = 0;
        foreach (var (source, capture) in totals)
        {
            if (gain * source < 6 * noise || gain * source <= 0)
                continue;
            expected++;
            if (capture > 0.1 * gain * source + noise)
                heard++;
        }
        return expected == 0 ? 0 : (double)heard / expected;
    }

    private TakeEvidence Sum(
        List<(float[] Source, float[] Capture, float[] CrossRe, float[] CrossIm)> windows,
        NoiseSpectrum noise,
        double heardShare
    )
    {
        var coherence = new List<double>();
        var tops = windows.ConvertAll(w => w.Source.Max());
        double gainTop = 0,
            gainBottom = 0,
            polarity = 0;
        for (var b = 0; b < _edges.Length - 1; b++)
        {
            double hiss = 1e-20;
            for (var k = _edges[b]; k < _edges[b + 1]; k++)
                hiss += noise.Power[k];
            float loudest = 0;
            foreach (var w in windows)
                loudest = Math.Max(loudest, w.Source[b]);
            double re = 0,
                im = 0,
                s = 0,
                c = 0,
                n = 0;
            var count = 0;
            for (var i = 0; i < windows.Count; i++)
            {
                var w = windows[i];
                if (w.Capture[b] < OverHiss * hiss || w.Source[b] < BelowLoudest * loudest || w.Source[b] <= BelowWindow * tops[i])
                    continue;
                // Between energy (the loudest window alone would decide) and full whitening (the faintest would).
                var weight = 1 / Math.Sqrt(w.Source[b]);
                re += weight * w.CrossRe[b];
                im += weight * w.CrossIm[b];
                s += weight * w.Source[b];
                c += weight * w.Capture[b];
                n += weight * hiss;
                count++;
            }
            if (count < 2)
                continue;
            var cross = re * re + im * im;
            coherence.Add(Math.Min(1, cross / (s * Math.Max(c - n, 0.05 * c))));
            // Middle bands only: the lows may be turned by the machine's coupling, the highs by what is left of the wobble.
            if (_edges[b] * _rate / TransformLength is >= 300 and <= 3000)
            {
                gainTop += cross / s;
                gainBottom += s;
                polarity += re / Math.Sqrt(s * c);
            }
        }
        return new TakeEvidence
        {
            BandCoherence = [.. coherence],
            HeardShare = heardShare,
            Gain = gainBottom > 0 ? Math.Sqrt(gainTop / gainBottom) : 0,
            Polarity = polarity < 0 ? -1 : 1,
        };
    }

    private void Transform(float[] re, float[] im)
    {
        for (var i = 0; i < WindowFrames; i++)
            _padded[i] *= _window[i];
        _padded.AsSpan(WindowFrames).Clear();
        _transform.Forward(_padded, re, im);
    }
}
