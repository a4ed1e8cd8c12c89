using Offtape.Base;

namespace Offtape.AudioFiles;

/// <summary>The channels and rates that are read.</summary>
internal static class FormatLimits
{
    public static void CheckChannelCount(string path, long channelCount, long? byteOffset)
    {
        if (channelCount is < 1 or > AudioFormat.MostChannels)
            throw Fault.Input(
                path,
                $"it says it has {Words.Count(channelCount, "channel")}; 1 to {AudioFormat.MostChannels} are read",
                byteOffset
            );
    }

    public static void CheckSampleRate(string path, double sampleRateHz, long? byteOffset)
    {
        if (!(sampleRateHz >= SampleRate.LowestHz && sampleRateHz <= SampleRate.HighestHz))
            throw Fault.Input(
                path,
                $"it says its sample rate is {(double.IsFinite(sampleRateHz) ? $"{sampleRateHz:0.###} Hz" : "no number")}; {SampleRate.LowestHz} to {SampleRate.HighestHz} Hz are read",
                byteOffset
            );
    }
}
