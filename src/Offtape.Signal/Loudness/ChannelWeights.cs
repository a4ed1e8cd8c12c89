namespace Offtape.Signal;

/// <summary>
/// The weights G of ITU-R BS.1770-5, Annex 1, Table 3, chosen by the count of channels: five are L R C Ls Rs, six are L R C LFE Ls Rs
/// (the order of a WAV file); surrounds weigh 1.41 (+1.5 dB), the LFE is left out. Any other count is taken as so many equal channels
/// at the front, which is right for mono and stereo and the only fair reading of a bundle of tape tracks.
/// </summary>
public static class ChannelWeights
{
    /// <summary>Table 3 prints 1.41 (~ +1.5 dB).</summary>
    public const double Surround = 1.41;

    public static double[] ForCount(int channelCount) =>
        channelCount switch
        {
            5 => [1, 1, 1, Surround, Surround],
            6 => [1, 1, 1, 0, Surround, Surround],
            _ => [.. Enumerable.Repeat(1.0, channelCount)],
        };
}
