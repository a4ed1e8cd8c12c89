using System.Collections.Frozen;

namespace Offtape.Bench;

/// <summary>Quantities as people call them.</summary>
public static class QuantityWords
{
    private static readonly FrozenDictionary<string, string> Names = new Dictionary<string, string>(StringComparer.Ordinal)
    {
        ["weightedTwoSigma"] = "wow and flutter, weighted, two-sigma",
        ["weightedPeak"] = "wow and flutter, weighted, quasi-peak",
        ["weightedRms"] = "wow and flutter, weighted, RMS",
        ["unweightedPeak"] = "wow and flutter, unweighted, peak",
        ["unweightedRms"] = "wow and flutter, unweighted, RMS",
        ["signalToNoiseUnweighted"] = "signal to noise, unweighted",
        ["signalToNoiseAWeighted"] = "signal to noise, A-weighted",
        ["signalToNoiseQuasiPeak"] = "signal to noise, BS.468 quasi-peak",
        ["noiseUnweighted"] = "noise, unweighted",
        ["noiseAWeighted"] = "noise, A-weighted",
        ["noiseQuasiPeak"] = "noise, BS.468 quasi-peak",
        ["interChannelDelay"] = "delay between channels",
        ["interChannelDelayWander"] = "wander of that delay",
        ["trebleLimit"] = "treble limit (−3 dB)",
        ["bassLimit"] = "bass limit (−3 dB)",
        ["dcOffset"] = "DC",
        ["pathGain"] = "gain through the machine",
        ["sendToReturnDelay"] = "delay from send to return",
    }.ToFrozenDictionary(StringComparer.Ordinal);

    /// <summary>Its name in words: from the list, else the name itself taken apart: <c>headBump</c> is "head bump".</summary>
    public static string Of(string quantity) =>
        Names.TryGetValue(quantity, out var words)
            ? words
            : string.Concat(quantity.Select((c, i) => char.IsUpper(c) && i > 0 ? " " + char.ToLowerInvariant(c) : c.ToString()));

    internal static string OfUnit(string unit) =>
        unit switch
        {
            "s" => "time",
            "dB" => "level against operating level",
            "Hz" => "frequency",
            _ => "",
        };
}
