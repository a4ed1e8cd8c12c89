namespace Offtape.Tape;

/// <summary>One frequency at which speed goes up and down.</summary>
/// <param name="FrequencyHz">Times a second.</param>
/// <param name="PeakPercent">How far to either side of the mean, in per cent of speed.</param>
/// <param name="FloorPercent">Peak of what would stand there without it: the wobble and noise between lines.</param>
public readonly record struct SpeedLine(double FrequencyHz, double PeakPercent, double FloorPercent);
