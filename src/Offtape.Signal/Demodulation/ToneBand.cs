namespace Offtape.Signal;

/// <summary>
/// The filters that a tone of one frequency is demodulated with: how far on either side of it is heard, how many values a second come
/// out, and how fast a change of frequency may be. All are linear in phase, by Kaiser's formulas (J. F. Kaiser, IEEE ISCAS 1974).
/// </summary>
internal sealed class ToneBand
{
    // Values in a second: a curve of 200 Hz with room for its filter, and for a band above it in which the noise is read.
    private const double LeastRateHz = 2400;

    private const double FlutterHz = 200;

    private const double StopbandDb = 80;

    internal ToneBand(int sampleRateHz, double frequencyHz)
    {
        SampleRateHz = sampleRateHz;
        FrequencyHz = frequencyHz;
        Step = Math.Max(1, (int)(sampleRateHz / LeastRateHz));
        RateHz = (double)sampleRateHz / Step;
        // Below 1 kHz the band shrinks: hum stays outside, and so does the mirror image of the tone at −f.
        var room = Math.Min(frequencyHz, 0.5 * sampleRateHz - frequencyHz);
        PassHz = Math.Min(550, 0.62 * room);
        StopHz = Math.Min(0.5 * RateHz, 0.86 * room);
        BandHz = Math.Min(FlutterHz, frequencyHz / 3);
        Before = LowPass(PassHz, StopHz, sampleRateHz);
        After = LowPass(BandHz, 1.5 * BandHz, RateHz);
    }

    internal int SampleRateHz { get; }

    /// <summary>The tone that the band stands about.</summary>
    internal double FrequencyHz { get; }

    /// <summary>Frames from one value to the next.</summary>
    internal int Step { get; }

    internal double RateHz { get; }

    /// <summary>Heard whole to this distance from the tone.</summary>
    internal double PassHz { get; }

    /// <summary>Heard no more from this distance on.</summary>
    internal double StopHz { get; }

    /// <summary>Changes of frequency are read whole up to here.</summary>
    internal double BandHz { get; }

    /// <summary>Around the tone, on the recording's frames; odd count, sum 1.</summary>
    internal double[] Before { get; }

    /// <summary>For the curve of frequency, at <see cref="RateHz"/>; odd count, sum 1.</summary>
    internal double[] After { get; }

    private static double[] LowPass(double passHz, double stopHz, double rateHz)
    {
        var width = 2 * Math.PI * (stopHz - passHz) / rateHz;
        var half = (int)Math.Max(1, Math.Ceiling((StopbandDb - 7.95) / (2.285 * width) / 2));
        var taps = new double[2 * half + 1];
        Windows.Kaiser(taps, 0.1102 * (StopbandDb - 8.7), WindowForm.Symmetric);
        var sum = 0.0;
        for (var k = 0; k < taps.Length; k++)
        {
            var x = Math.PI * (passHz + stopHz) / rateHz * (k - half);
            taps[k] *= x == 0 ? 1 : Math.Sin(x) / x;
            sum += taps[k];
        }
        for (var k = 0; k < taps.Length; k++)
            taps[k] /= sum;
        return taps;
    }
}
