namespace Offtape.Studio;

/// <summary>Every figure of tape that can be worked out.</summary>
public static class Calculations
{
    public static IReadOnlyList<Calculation> All { get; } =
    [
        GapCalculation.Create(),
        TimeCalculation.Create(),
        SpeedCalculation.Create(),
        LoopCalculation.Create(),
        EchoCalculation.Create(),
        PitchCalculation.Create(),
        PrintCalculation.Create(),
        GenerationsCalculation.Create(),
        CostCalculation.Create(),
    ];

    public static Calculation? Find(string? name) => All.FirstOrDefault(c => c.Name == name);
}
