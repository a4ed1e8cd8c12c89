namespace Offtape.Passes.Following;

/// <summary>A stop and restart of the tape in the middle of a sound: what lies between was heard while it slowed, stood and started.</summary>
/// <param name="FromSource">Last tracker second of the source before it, as far as the path was held.</param>
/// <param name="ToSource">First tracker second after it.</param>
/// <param name="FromCapture">Capture second of the one.</param>
/// <param name="ToCapture">Capture second of the other.</param>
internal readonly record struct TapeStand(double FromSource, double ToSource, double FromCapture, double ToCapture);
