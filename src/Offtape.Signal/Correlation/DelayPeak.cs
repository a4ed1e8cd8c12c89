namespace Offtape.Signal;

/// <summary>One candidate for the delay between two signals.</summary>
/// <param name="LagFrames">How late the other signal is against the reference; negative: early.</param>
/// <param name="Polarity">1 where they agree in sign, −1 where one is upside down.</param>
/// <param name="Rho">Peak ÷ Σ|G|, 0 to 1: the part of the weighted cross-spectrum that this one lag explains. 1 without noise.</param>
/// <param name="Strength">
/// Peak against the standard deviation of what unrelated signals of these spectra would give at one lag. Chance alone reaches about
/// √(2·ln(lags searched)), 3.5 to 5; a true match of many frequencies is far above.
/// </param>
/// <param name="SigmaFrames">Standard deviation expected of the lag, from the scatter of the phases about it; says nothing of a wrong peak.</param>
public readonly record struct DelayPeak(double LagFrames, int Polarity, double Rho, double Strength, double SigmaFrames);
