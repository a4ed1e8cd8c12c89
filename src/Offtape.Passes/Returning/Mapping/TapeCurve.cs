namespace Offtape.Passes.Mapping;

/// <summary>The tape's own curve without memory: x + Square·x² + Cube·x³, x at 1 for the source's peak.</summary>
internal readonly record struct TapeCurve(double Square, double Cube)
{
    internal bool IsStraight => Square == 0 && Cube == 0;
}
