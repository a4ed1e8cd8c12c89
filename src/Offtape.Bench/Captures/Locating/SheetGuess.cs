namespace Offtape.Bench;

/// <summary>The check signals that are made when nothing is asked for but channels: a capture of one of them is known without its sheet.</summary>
internal static class SheetGuess
{
    private static readonly int[] ChannelCounts = [2, 1, 4, 8];

    /// <summary>The likeliest first: as many channels as the capture has, and the latest choice of parts.</summary>
    internal static IReadOnlyList<BenchSheet> For(int captureChannelCount) =>
        [
            .. from edition in Enumerable.Range(1, BenchSheetRequest.LatestEdition).Reverse()
            from channels in ChannelCounts.OrderBy(c => c == captureChannelCount ? 0 : 1)
            // At every higher rate the signal is that of 48 kHz.
            from rate in new[] { 48_000, 44_100 }
            select BenchSheetMaker.Make(
                new BenchSheetRequest
                {
                    ChannelCount = channels,
                    SampleRateHz = rate,
                    Edition = edition,
                }
            ),
        ];
}
