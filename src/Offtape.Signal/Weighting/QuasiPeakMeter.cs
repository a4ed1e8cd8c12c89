namespace Offtape.Signal;

/// <summary>
/// The weighted quasi-peak meter of ITU-R BS.468-4: weighting network and detector, calibrated so that a steady sine of 1 kHz reads its own
/// root mean square value (clause 2.6).
/// </summary>
public sealed class QuasiPeakMeter
{
    /// <summary>After this long a steady signal reads what it will; the slower rectifier has then come within 0.01 %.</summary>
    public const double SettlingSeconds = 2;

    private readonly float[] _taps;
    private readonly QuasiPeakDetector _detector;
    private readonly float _gain;

    // The last taps.Length − 1 samples of what came before, then the block.
    private float[] _line;

    public QuasiPeakMeter(double sampleRateHz)
    {
        var response = Bs468Weighting.ImpulseResponse(sampleRateHz, out var latency);
        LatencyFrames = latency;
        // Reversed, so that a sum of products is the convolution.
        _taps = Array.ConvertAll(response, t => (float)t);
        Array.Reverse(_taps);
        _detector = new QuasiPeakDetector(sampleRateHz);
        _line = new float[_taps.Length - 1];
        _gain = (float)(Math.Sqrt(0.5) / SteadyReading(sampleRateHz));
    }

    /// <summary>How much later the reading is than an analogue network's.</summary>
    public int LatencyFrames { get; }

    /// <summary>A block through the meter: what it shows after each sample, as the RMS of a 1 kHz sine that would read the same.</summary>
    public void Process(ReadOnlySpan<float> input, Span<float> reading)
    {
        Biquad.CheckLengths(input.Length, reading.Length);
        var history = _taps.Length - 1;
        if (_line.Length < history + input.Length)
            Array.Resize(ref _line, history + input.Length);
        input.CopyTo(_line.AsSpan(history));
        for (var i = 0; i < input.Length; i++)
            reading[i] = _gain * DotProduct.Of(_taps, _line.AsSpan(i, _taps.Length));
        _line.AsSpan(input.Length, history).CopyTo(_line);
        _detector.Process(reading, reading);
    }

    /// <summary>Back to silence, as newly made.</summary>
    public void Reset()
    {
        Array.Clear(_line);
        _detector.Reset();
    }

    // The network has gain 1 at 1 kHz, so the detector alone is asked what it makes of a sine of peak 1.
    private static double SteadyReading(double sampleRateHz)
    {
        var detector = new QuasiPeakDetector(sampleRateHz);
        var block = new float[(int)(sampleRateHz / 10)];
        var (sum, frame) = (0.0, 0L);
        for (var round = 0; round < 25; round++)
        {
            for (var i = 0; i < block.Length; i++, frame++)
                block[i] = (float)Math.Sin(2 * Math.PI * (1000 * frame % sampleRateHz) / sampleRateHz);
            detector.Process(block, block);
        }
        // The mean over a period; it trembles within one by some thousandths.
        foreach (var value in block)
            sum += value;
        return sum / block.Length;
    }
}
