namespace Offtape.Signal.Tests.Loudness;

/// <summary>
/// The synthetic test signals of EBU Tech 3341 (Table 1) and EBU Tech 3342 (Table 1), made from their definitions: tones of 1 kHz, in
/// phase in all channels of a stereo pair unless said, levels in dB of the peak of each channel.
/// </summary>
internal static class EbuSignals
{
    public const int SampleRateHz = 48_000;

    /// <summary>Stereo segments of a 1 kHz tone one after another; a level of −∞ is silence.</summary>
    public static float[] Stereo(int sampleRateHz, params ReadOnlySpan<(double LevelDbfs, double Seconds)> segments)
    {
        // 1 kHz repeats itself exactly every rate/1000 frames.
        if (sampleRateHz % 1000 != 0)
            throw new ArgumentOutOfRangeException(nameof(sampleRateHz), sampleRateHz, "The period of 1 kHz must be whole frames.");
        var period = new double[sampleRateHz / 1000];
        for (var i = 0; i < period.Length; i++)
            period[i] = Math.Sin(2 * Math.PI * i / period.Length);

        double seconds = 0;
        foreach (var (_, length) in segments)
            seconds += length;
        var frames = new float[2 * (int)Math.Round(seconds * sampleRateHz)];
        var frame = 0;
        seconds = 0;
        foreach (var (levelDbfs, length) in segments)
        {
            seconds += length;
            var amplitude = double.IsNegativeInfinity(levelDbfs) ? 0 : Math.Pow(10, levelDbfs / 20);
            for (var end = (int)Math.Round(seconds * sampleRateHz); frame < end; frame++)
                frames[2 * frame] = frames[2 * frame + 1] = (float)(amplitude * period[frame % period.Length]);
        }
        return frames;
    }

    /// <summary>A tone at one level for each channel.</summary>
    public static float[] Tone(int sampleRateHz, double frequencyHz, double seconds, params ReadOnlySpan<double> levelsDbfs)
    {
        var frames = new float[(int)Math.Round(seconds * sampleRateHz) * levelsDbfs.Length];
        for (var i = 0; i < frames.Length; i++)
        {
            var level = levelsDbfs[i % levelsDbfs.Length];
            var frame = i / levelsDbfs.Length;
            frames[i] = (float)(Math.Pow(10, level / 20) * Math.Sin(2 * Math.PI * frequencyHz * frame / sampleRateHz));
        }
        return frames;
    }

    /// <summary>Signals 15 to 19: a tone at a share of the sample rate, its phase in degrees, faded in and out over 10 ms.</summary>
    public static float[] PeakTone(int sampleRateHz, double cyclesPerFrame, double amplitude, double phaseDegrees)
    {
        var frames = new float[2 * sampleRateHz];
        for (var i = 0; i < sampleRateHz; i++)
        {
            var value = amplitude * Math.Sin(2 * Math.PI * cyclesPerFrame * i + phaseDegrees * Math.PI / 180);
            frames[2 * i] = frames[2 * i + 1] = (float)(value * Fade(i, sampleRateHz, sampleRateHz / 100));
        }
        return frames;
    }

    /// <summary>
    /// Signals 20 to 23: within a tone of fs/6 at 0.5 of full scale, one period of fs/4 at full scale; made at four times the rate,
    /// low-passed, and thinned to every fourth sample from an offset of 0 to 3 on.
    /// </summary>
    public static float[] PeakBetweenSamples(int sampleRateHz, int offset)
    {
        var dense = new double[4 * sampleRateHz];
        var middle = dense.Length / 2;
        double phaseCycles = 0;
        for (var i = 0; i < dense.Length; i++)
        {
            // One period of fs/4 is 16 of the dense samples.
            var isBurst = i >= middle && i < middle + 16;
            phaseCycles += isBurst ? 1 / 16.0 : 1 / 24.0;
            dense[i] = (isBurst ? 1.0 : 0.5) * Math.Sin(2 * Math.PI * phaseCycles) * Fade(i, dense.Length, dense.Length / 100);
        }
        return Thin(dense, offset);
    }

    // A windowed-sinc low-pass to 0.9 of the lower Nyquist frequency, Blackman-windowed, 1023 taps, then every fourth.
    private static float[] Thin(double[] dense, int offset)
    {
        var taps = new double[1023];
        for (var k = 0; k < taps.Length; k++)
        {
            var n = k - 511;
            var sinc = n == 0 ? 0.9 / 4 : Math.Sin(Math.PI * n * 0.9 / 4) / (Math.PI * n);
            taps[k] = sinc * (0.42 + 0.5 * Math.Cos(Math.PI * n / 512) + 0.08 * Math.Cos(2 * Math.PI * n / 512));
        }
        var frames = new float[2 * (dense.Length / 4)];
        for (var i = 0; i < dense.Length / 4; i++)
        {
            double sum = 0;
            for (var k = 0; k < taps.Length; k++)
            {
                var from = 4 * i + offset + k - 511;
                if (from >= 0 && from < dense.Length)
                    sum += taps[k] * dense[from];
            }
            frames[2 * i] = frames[2 * i + 1] = (float)sum;
        }
        return frames;
    }

    private static double Fade(int i, int length, int fadeLength) => Math.Min(1, (double)Math.Min(i, length - 1 - i) / fadeLength);
}
