namespace Offtape.Tape;

/// <summary>What a minute of tape costs (arithmetic): price ÷ (minutes of a side · sides · times it is recorded over).</summary>
/// <param name="Price">Of the whole tape.</param>
/// <param name="SideCount">Sides that are used.</param>
/// <param name="UseCount">How many times the tape is recorded before it is put away.</param>
public sealed record TapeCost(double Price, int SideCount = 1, int UseCount = 1)
{
    public double PerMinute(double minutesPerSide) => Price / (minutesPerSide * SideCount * UseCount);
}
