namespace Offtape.Passes;

internal static class TapeChoice
{
    internal static string? Shortest(double neededSeconds, double? speedCmPerSecond) => null;
}
