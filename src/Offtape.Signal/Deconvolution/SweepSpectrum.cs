using System.Numerics;

namespace Offtape.Signal;

/// <summary>
/// What is left of a received sweep when the sweep is divided out, as a spectrum; responses are cut out of it by their arrival in time. A cut
/// at time τ is a mean over frequency, each bin turned back by τ, under a window of a stated width: the wider the window, the shorter the
/// stretch of time that it lets through. The window is A. H. Nuttall's of four terms with a continuous first derivative (IEEE Trans. ASSP-29(1),
/// 1981): its side lobes begin 93 dB down and fall by 18 dB an octave.
/// </summary>
public sealed class SweepSpectrum
{
    // A window of 1 Hz lets through 4 s on either side of an arrival; 93 dB are gone at once after that, 100 dB a little later.
    private const double LobeSeconds = 4.5;

    // Harmonics have neighbours much stronger than themselves.
    private const double HarmonicLobeSeconds = 7;

    internal SweepSpectrum(float[] re, float[] im, double binHz, SynchronisedSweep sweep) =>
        (Re, Im, BinHz, Sweep) = (re, im, binHz, sweep);

    internal float[] Re { get; }

    internal float[] Im { get; }

    internal double BinHz { get; }

    public SynchronisedSweep Sweep { get; }

    /// <summary>
    /// The width of window that keeps a harmonic clear of its neighbours: 90 dB or more of them are gone. The fundamental's neighbour is the second
    /// harmonic, that of any other the next one.
    /// </summary>
    public double NarrowestHz(int harmonic)
    {
        // What follows the response later in time counts as much: the same distance is kept.
        var distance = Sweep.HarmonicLeadSeconds(harmonic + 1) - Sweep.HarmonicLeadSeconds(harmonic);
        return (harmonic == 1 ? LobeSeconds : HarmonicLobeSeconds) / distance;
    }

    /// <summary>
    /// Response of a harmonic at a frequency of the output: what a sine of frequency/n makes there, against the amplitude that was sent. Sines
    /// count as real: a cosine of the same frequency comes out imaginary.
    /// </summary>
    /// <param name="harmonic">1 for the fundamental.</param>
    /// <param name="outputHz">Frequency of the harmonic itself.</param>
    /// <param name="widthHz">Width of the window over all; at least <see cref="NarrowestHz"/>.</param>
    public Complex Harmonic(int harmonic, double outputHz, double widthHz) => Cut(-Sweep.HarmonicLeadSeconds(harmonic), outputHz, widthHz);

    /// <summary>
    /// What arrives at any time: between responses it is noise, with the same window and so of the same size as within them.
    /// </summary>
    /// <param name="arrivalSeconds">After the linear response; negative is earlier.</param>
    /// <param name="frequencyHz">Middle of the window.</param>
    /// <param name="widthHz">Width of the window over all.</param>
    public Complex Cut(double arrivalSeconds, double frequencyHz, double widthHz)
    {
        var half = Math.Max(widthHz / 2, BinHz);
        var first = (int)Math.Ceiling(Math.Max((frequencyHz - half) / BinHz, Sweep.StartHz / BinHz));
        var last = (int)Math.Floor(Math.Min((frequencyHz + half) / BinHz, Math.Min(Re.Length - 1, Sweep.EndHz / BinHz)));
        if (last < first)
            return Complex.Zero;
        var turnCycles = arrivalSeconds * BinHz;
        var (turn, turnStep) = (Cycles(turnCycles * first), Cycles(turnCycles));
        var (angle, angleStep) = (Cycles((first * BinHz - frequencyHz) / (2 * half)), Cycles(BinHz / (2 * half)));
        var (sumRe, sumIm, weights) = (0.0, 0.0, 0.0);
        for (var k = first; k <= last; k++)
        {
            // Centred, the four terms are all added: 0.355768 + 0.487396·c1 + 0.144232·c2 + 0.012604·c3, multiples of the angle by Chebyshev.
            var c = angle.Real;
            var square = c * c;
            var w = 0.355768 + 0.487396 * c + 0.144232 * (2 * square - 1) + 0.012604 * c * (4 * square - 3);
            weights += w;
            sumRe += w * (Re[k] * turn.Real - Im[k] * turn.Imaginary);
            sumIm += w * (Re[k] * turn.Imaginary + Im[k] * turn.Real);
            turn *= turnStep;
            angle *= angleStep;
        }
        return new Complex(sumRe / weights, sumIm / weights);
    }

    private static Complex Cycles(double cycles) => Complex.FromPolarCoordinates(1, 2 * Math.PI * (cycles - Math.Round(cycles)));
}
