using System.Numerics;

namespace Offtape.Signal;

/// <summary>
/// The synchronised exponential sweep: its n-th harmonic is the sweep itself, earlier by <see cref="HarmonicLeadSeconds"/>, in phase as well
/// as in frequency. So what a bent machine makes of it falls apart into one response for each harmonic.
/// x(t) = sin(2π·f1·L·e^(t/L)), L = κ/f1 with a whole number κ of cycles.
/// Source: A. Novak, P. Lotton and L. Simon, "Synchronized Swept-Sine: Theory, Application, and Implementation", JAES 63(10), 2015.
/// </summary>
/// <param name="StartHz">f1, frequency at time 0; above 0.</param>
/// <param name="EndHz">f2, frequency at the end; above the first.</param>
/// <param name="WantedSeconds">The length asked for; the sweep's own (<see cref="DurationSeconds"/>) differs by up to half a step of κ.</param>
public sealed record SynchronisedSweep(double StartHz, double EndHz, double WantedSeconds)
{
    public double StartHz { get; } = Positive(StartHz, nameof(StartHz));

    public double EndHz { get; } =
        Positive(EndHz, nameof(EndHz)) > StartHz
            ? EndHz
            : throw new ArgumentOutOfRangeException(nameof(EndHz), EndHz, "A sweep ends above where it starts.");

    public double WantedSeconds { get; } =
        Positive(WantedSeconds, nameof(WantedSeconds)) >= Math.Log(EndHz / StartHz) / (2 * StartHz)
            ? WantedSeconds
            : throw new ArgumentOutOfRangeException(nameof(WantedSeconds), WantedSeconds, "Too short: not one cycle in a time of growth.");

    /// <summary>κ = round(f1·T/ln(f2/f1)): cycles before time 0 in the formula, a whole number.</summary>
    public double WholeCycles => Math.Round(StartHz * WantedSeconds / Math.Log(EndHz / StartHz));

    /// <summary>L: in this time the frequency grows e-fold.</summary>
    public double GrowthSeconds => WholeCycles / StartHz;

    /// <summary>L·ln(f2/f1): from the first frequency to the last.</summary>
    public double DurationSeconds => GrowthSeconds * Math.Log(EndHz / StartHz);

    /// <summary>Frequency at a time after the start. The formula also holds before and after the sweep.</summary>
    public double FrequencyHz(double timeSeconds) => StartHz * Math.Exp(timeSeconds / GrowthSeconds);

    /// <summary>The formula's phase in cycles: κ at time 0, f·L in general.</summary>
    public double PhaseCycles(double timeSeconds) => WholeCycles * Math.Exp(timeSeconds / GrowthSeconds);

    /// <summary>The time at which a frequency is passed.</summary>
    public double TimeSeconds(double frequencyHz) => GrowthSeconds * Math.Log(frequencyHz / StartHz);

    /// <summary>How much earlier than the linear response that of a harmonic lies: L·ln n.</summary>
    /// <param name="harmonic">1 for the fundamental, which lies at 0.</param>
    public double HarmonicLeadSeconds(double harmonic) => GrowthSeconds * Math.Log(harmonic);

    /// <summary>
    /// Spectrum of the filter that makes a pulse at time 0 of the sweep, in closed form: 2·√(f/L)·e^(−j2πf·L·(1 − ln(f/f1)) + jπ/4), for
    /// spectra in seconds (sums divided by the sample rate).
    /// </summary>
    /// <param name="frequencyHz">Above 0.</param>
    public Complex InverseSpectrum(double frequencyHz)
    {
        var cycles = frequencyHz * GrowthSeconds * (1 - Math.Log(frequencyHz / StartHz));
        return Complex.FromPolarCoordinates(
            2 * Math.Sqrt(frequencyHz / GrowthSeconds),
            -2 * Math.PI * (cycles - Math.Round(cycles)) + Math.PI / 4
        );
    }

    /// <summary>The sweep's value, 1 at its peaks; zero before time 0 and after the end. No taper.</summary>
    public double At(double timeSeconds)
    {
        if (timeSeconds < 0 || timeSeconds > DurationSeconds)
            return 0;
        // Whole cycles are dropped before the multiplication by 2π, which would otherwise cost digits.
        var cycles = PhaseCycles(timeSeconds);
        return Math.Sin(2 * Math.PI * (cycles - Math.Round(cycles)));
    }

    /// <summary>Fills output with the sweep, t = firstTimeSeconds + i ÷ sampleRateHz; zero before time 0 and after the end. No taper.</summary>
    /// <param name="sampleRateHz">Samples in a second.</param>
    /// <param name="firstTimeSeconds">Time of output[0] after the sweep's start; may be negative or a fraction of a sample.</param>
    /// <param name="output">Any length.</param>
    public void Synthesise(double sampleRateHz, double firstTimeSeconds, Span<float> output)
    {
        for (var i = 0; i < output.Length; i++)
            output[i] = (float)At(firstTimeSeconds + i / sampleRateHz);
    }

    private static double Positive(double value, string name) =>
        value > 0 && double.IsFinite(value) ? value : throw new ArgumentOutOfRangeException(name, value, "Must be above zero.");
}
