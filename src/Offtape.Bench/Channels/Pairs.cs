namespace Offtape.Bench;

/// <summary>How readings of two neighbouring channels are named.</summary>
internal static class Pairs
{
    /// <summary>The condition itself where there are two channels; with more, which two it is comes first.</summary>
    internal static string Condition(BenchCapture capture, int secondIndex, string condition) =>
        capture.ChannelCount == 2 ? condition
        : condition.Length == 0 ? $"{secondIndex + 1} against {secondIndex}"
        : $"{secondIndex + 1} against {secondIndex}, {condition}";
}
