using Offtape.Signal;

namespace Offtape.Simulator;

/// <summary>A small kit played with brushes: a soft drum on one and three, taps on two and four, a swirl between, ticks on the off-beats.</summary>
internal static class BrushedKit
{
    internal static void Play(float[][] channels, int sampleRateHz, Dice dice)
    {
        Swirl(channels, sampleRateHz, dice);
        for (var bar = 0; bar < LanternQuay.BarCount; bar++)
        {
            var isLast = bar == LanternQuay.BarCount - 1;
            for (var eighth = 0; eighth < 8; eighth++)
            {
                if (isLast && eighth > 0)
                    break;
                var time = LanternQuay.BarSeconds(bar) + eighth * LanternQuay.BeatSeconds / 2 + dice.Uniform(0, 0.004);
                if (eighth is 0 or 4 || (eighth == 5 && bar % 2 == 1))
                    Drum(channels, sampleRateHz, time, eighth == 0 ? 1 : 0.7);
                if (eighth is 2 or 6)
                    Brush(channels, sampleRateHz, dice, time, dice.Uniform(0.75, 0.95), 0.16, 1800, 0.25);
                if (eighth % 2 == 1)
                    Brush(channels, sampleRateHz, dice, time, dice.Uniform(0.22, 0.36), 0.035, 6500, -0.45);
                // A grace tap before the bar line of every fourth bar.
                if (eighth == 7 && bar % 4 == 3)
                    Brush(channels, sampleRateHz, dice, time + LanternQuay.BeatSeconds / 4, 0.5, 0.08, 2400, 0.1);
            }
        }
        Room.Add(channels, sampleRateHz, 0.08, 0.7);
    }

    private static void Drum(float[][] channels, int sampleRateHz, double startSeconds, double velocity)
    {
        var first = (int)Math.Round(startSeconds * sampleRateHz);
        var phase = 0.0;
        var count = Math.Min((int)(0.55 * sampleRateHz), channels[0].Length - first);
        for (var i = 0; i < count; i++)
        {
            var t = (double)i / sampleRateHz;
            phase += 2 * Math.PI * (52 + 48 * Math.Exp(-t / 0.03)) / sampleRateHz;
            var value = (float)(0.9 * velocity * (1 - Math.Exp(-t / 0.002)) * Math.Exp(-t / 0.13) * Math.Sin(phase));
            channels[0][first + i] += value;
            channels[1][first + i] += value;
        }
    }

    private static void Brush(
        float[][] channels,
        int sampleRateHz,
        Dice dice,
        double startSeconds,
        double level,
        double decaySeconds,
        double centreHz,
        double pan
    )
    {
        var first = (int)Math.Round(startSeconds * sampleRateHz);
        var count = Math.Min((int)(7 * decaySeconds * sampleRateHz), channels[0].Length - first);
        var noise = new double[count];
        for (var i = 0; i < count; i++)
        {
            // Many wires land one after the other: a quick rise, not a step.
            var t = (double)i / sampleRateHz;
            noise[i] = dice.Uniform(-1, 1) * (1 - Math.Exp(-t / 0.004)) * Math.Exp(-t / decaySeconds);
        }
        Band(noise, centreHz, 0.7, sampleRateHz);
        var (left, right) = (Math.Sqrt(0.5 * (1 - pan)), Math.Sqrt(0.5 * (1 + pan)));
        for (var i = 0; i < count; i++)
        {
            channels[0][first + i] += (float)(1.3 * left * level * noise[i]);
            channels[1][first + i] += (float)(1.3 * right * level * noise[i]);
        }
    }

    // A brush going round the skin once every two beats, from left to right and back.
    private static void Swirl(float[][] channels, int sampleRateHz, Dice dice)
    {
        var count = Math.Min((int)(LanternQuay.BarSeconds(LanternQuay.BarCount - 1) * sampleRateHz), channels[0].Length);
        var noise = new double[count];
        for (var i = 0; i < count; i++)
            noise[i] = dice.Uniform(-1, 1);
        Band(noise, 3200, 0.5, sampleRateHz);
        for (var i = 0; i < count; i++)
        {
            var turn = Math.PI * i / (LanternQuay.BeatSeconds * sampleRateHz);
            var press = Math.Pow(0.5 - 0.5 * Math.Cos(2 * turn), 1.5);
            var value = 0.11 * press * noise[i];
            channels[0][i] += (float)(value * (0.7 + 0.3 * Math.Cos(turn)));
            channels[1][i] += (float)(value * (0.7 - 0.3 * Math.Cos(turn)));
        }
    }

    private static void Band(double[] samples, double centreHz, double q, int sampleRateHz)
    {
        var centre = Math.Min(centreHz, 0.3 * sampleRateHz);
        new Biquad(BiquadCoefficients.Bilinear(0, 1 / q, 0, 1, 1 / q, 1, centre, sampleRateHz)).Process(samples, samples);
    }
}
