namespace Offtape.Bench;

/// <summary>The check signals that are made when nothing is asked for but channels: a capture of one of them is known without its sheet.</summary>
internal static class SheetGuess
{
    private static readonly int[] ChannelCounts = [2, 1, 4, 8];

    /// <summary>The likeliest first: as many channels as the capture has.</summary>
    internal static IReadOnlyList<BenchSheet> For(int captureChannelCount) =>
        [
            .. ChannelCounts
                .OrderBy(c => c == captureChannelCount ? 0 : 1)
                // At every higher rate the signal is that of 48 kHz.
                .SelectMany(c => new[] { 48_000, 44_100 }.Select(rate => new BenchSheetRequest { ChannelCount = c, SampleRateHz = rate }))
                .Select(BenchSheetMaker.Make),
        ];
}
