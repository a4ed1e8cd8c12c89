namespace Offtape.Signal;

/// <summary>
/// A chirp whose period changes linearly in time (hyperbolic frequency modulation), in closed form. Played at another speed it is the same
/// chirp, moved in time (<see cref="TimeShiftSeconds"/>) and turned in phase: so one matched filter finds it at any speed.
/// Source: J. Yang and T. K. Sarkar, Microwave and Optical Technology Letters 48(6), 2006.
/// </summary>
/// <param name="StartHz">Frequency at time 0; above 0.</param>
/// <param name="EndHz">Frequency at the end; above 0, and not the same as at the start.</param>
/// <param name="DurationSeconds">Above 0.</param>
public sealed record HyperbolicChirp(double StartHz, double EndHz, double DurationSeconds)
{
    public double StartHz { get; } = Positive(StartHz, nameof(StartHz));

    public double EndHz { get; } =
        Positive(EndHz, nameof(EndHz)) != StartHz
            ? EndHz
            : throw new ArgumentOutOfRangeException(nameof(EndHz), EndHz, "A chirp ends at another frequency than it starts at.");

    public double DurationSeconds { get; } = Positive(DurationSeconds, nameof(DurationSeconds));

    /// <summary>All the cycles from start to end; positive.</summary>
    public double LengthCycles => PhaseCycles(DurationSeconds);

    // The formula's own letters: f(t) = f0·f1·T ÷ ((f0 − f1)·t + f1·T), φ(t) = A·ln(1 − b·t) cycles.
    private double B => (EndHz - StartHz) / (EndHz * DurationSeconds);

    private double A => -StartHz / B;

    /// <summary>Frequency at a time after the start. The formula also holds a little before and after the chirp.</summary>
    public double FrequencyHz(double timeSeconds) => StartHz / (1 - B * timeSeconds);

    /// <summary>Cycles run since time 0.</summary>
    public double PhaseCycles(double timeSeconds) => A * Math.Log(1 - B * timeSeconds);

    /// <summary>The time at which a frequency is passed.</summary>
    public double TimeSeconds(double frequencyHz) => (1 - StartHz / frequencyHz) / B;

    /// <summary>
    /// How much earlier than its true start the chirp, played at a speed ratio, seems to begin: chirp(s·t) is chirp(t + shift) but for a
    /// constant phase. (s − 1) ÷ s · f1·T ÷ (f1 − f0): positive for a rising chirp played fast, negative for a falling one.
    /// </summary>
    public double TimeShiftSeconds(double speedRatio) => (speedRatio - 1) / (speedRatio * B);

    /// <summary>
    /// Fills output with sin 2π(φ(t) + phase), t = firstTimeSeconds + i ÷ sampleRateHz; zero before time 0 and after the end. No taper.
    /// </summary>
    /// <param name="sampleRateHz">Samples in a second.</param>
    /// <param name="firstTimeSeconds">Time of output[0] after the chirp's start; may be negative or a fraction of a sample.</param>
    /// <param name="output">Any length.</param>
    /// <param name="phaseCycles">Added to the phase.</param>
    public void Synthesise(double sampleRateHz, double firstTimeSeconds, Span<float> output, double phaseCycles = 0)
    {
        for (var i = 0; i < output.Length; i++)
        {
            var time = firstTimeSeconds + i / sampleRateHz;
            if (time < 0 || time > DurationSeconds)
            {
                output[i] = 0;
                continue;
            }
            // Whole cycles are dropped before the multiplication by 2π, which would otherwise cost digits.
            var cycles = PhaseCycles(time) + phaseCycles;
            output[i] = (float)Math.Sin(2 * Math.PI * (cycles - Math.Round(cycles)));
        }
    }

    /// <summary>The same a quarter cycle late (−cos): with <see cref="Synthesise"/> as real part it makes the analytic chirp.</summary>
    public void SynthesiseQuadrature(double sampleRateHz, double firstTimeSeconds, Span<float> output, double phaseCycles = 0) =>
        Synthesise(sampleRateHz, firstTimeSeconds, output, phaseCycles - 0.25);

    private static double Positive(double value, string name) =>
        value > 0 && double.IsFinite(value) ? value : throw new ArgumentOutOfRangeException(name, value, "Must be above zero.");
}
