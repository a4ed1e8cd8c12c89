using System.Numerics;

namespace Offtape.Bench;

/// <summary>What one sweep said of one channel, its wobble taken out.</summary>
internal sealed record SweepReading
{
    /// <summary>Orders that are read: the fundamental and harmonics up to this.</summary>
    internal const int HarmonicCount = 5;

    internal required BenchPart Part { get; init; }

    /// <summary>Channel of the capture, counted from 0.</summary>
    internal required int Channel { get; init; }

    /// <summary>Frequencies of the send.</summary>
    internal required double[] Hz { get; init; }

    /// <summary>
    /// For each order, and each frequency of the send, what comes out at that multiple of it, per unit of what was sent; not a number where the
    /// multiple lies outside the sweep. A sine counts as real, and so does the fundamental, whose phase went with the wobble.
    /// </summary>
    internal required Complex[][] Harmonics { get; init; }

    /// <summary>Mean square of the noise in each of <see cref="Harmonics"/>.</summary>
    internal required double[][] NoisePower { get; init; }

    /// <summary>Width in Hz that each order was averaged over, as a rectangle of the same noise.</summary>
    internal required double[][] WidthHz { get; init; }

    /// <summary>How late the sweep is heard at each frequency against the capture's clock, in seconds: wobble and the phase of the machine.</summary>
    internal double[] LatenessSeconds { get; init; } = [];

    /// <summary>Where the sweep stood clear enough of the noise to be followed; elsewhere nothing read of it counts.</summary>
    internal bool[] IsFollowed { get; init; } = [];

    /// <summary>
    /// Standard uncertainty, in dB, of a third of an octave where the wobble is not followed (below <paramref name="fromHz"/>): there a change
    /// of speed from one end of it to the other makes the sweep pass it faster or slower than it was sent. Taken from how much the speed
    /// changes over such times where it is followed.
    /// </summary>
    internal double UnfollowedSigmaDb(double fromHz)
    {
        var step = PartSound.SweepOf(Part).GrowthSeconds * Math.Log(10) / BandGrid.PerDecade;
        const int third = 2 * BandGrid.HalfThird;
        var (sum, count) = (0.0, 0);
        for (var k = BandGrid.Nearest(Hz, fromHz) + third; k + third < Hz.Length && IsFollowed[k]; k++)
        {
            var bend = (LatenessSeconds[k + third] - 2 * LatenessSeconds[k] + LatenessSeconds[k - third]) / (third * step);
            sum += bend * bend;
            count++;
        }
        // A third of an octave is ln 10 ÷ 10 wide, and its power goes with the time spent in it: 4.343 dB for each unit of that. Means over thirds
        // tell less of the change than its ends do: a fifth more, measured over the simulated machines.
        return count == 0 ? 0 : 1.2 * 4.343 * Math.Sqrt(sum / count) / (Math.Log(10) / 10);
    }

    /// <summary>Power of an order at each frequency with its noise taken off; may be below zero where there is nothing else.</summary>
    internal double[] Power(int order)
    {
        var (values, noise) = (Harmonics[order - 1], NoisePower[order - 1]);
        var power = new double[values.Length];
        for (var k = 0; k < power.Length; k++)
            power[k] = values[k].Real * values[k].Real + values[k].Imaginary * values[k].Imaginary - noise[k];
        return power;
    }

    /// <summary>Variance of <see cref="Power"/> at each frequency: of |h + n|² with n complex and normal.</summary>
    internal double[] PowerVariance(int order)
    {
        var (values, noise) = (Harmonics[order - 1], NoisePower[order - 1]);
        var variance = new double[values.Length];
        for (var k = 0; k < variance.Length; k++)
        {
            var signal = Math.Max(0, values[k].Magnitude * values[k].Magnitude - noise[k]);
            variance[k] = 2 * signal * noise[k] + noise[k] * noise[k];
        }
        return variance;
    }
}
