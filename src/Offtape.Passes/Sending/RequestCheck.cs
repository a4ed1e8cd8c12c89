using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Passes;

/// <summary>What can be said of a request before any file is looked at.</summary>
internal static class RequestCheck
{
    internal const double LowestPrintRatio = 0.1;
    internal const double HighestPrintRatio = 10;
    private const double LowestLevelDbfs = -60;
    private const int LowestSlateRateHz = 16_000;
    private const double LongestPauseSeconds = 3600;
    private const double LongestSideMinutes = 24 * 60;

    /// <exception cref="Fault">Usage.</exception>
    internal static void Check(SendRequest request)
    {
        if (request.Sources.Count == 0)
            throw Fault.Usage("There is nothing to send: no source was named", "Name the sound files, or a folder of them.");
        if (string.IsNullOrWhiteSpace(request.TargetFolder))
            throw Fault.Usage("There is no folder to write to", "Name it with --to.");
        CheckRate(request);
        Need(
            request.LevelDbfs is >= LowestLevelDbfs and <= 0,
            $"A level of {Words.Number(request.LevelDbfs, 1)} dBFS cannot be",
            $"--level lies between {Words.Number(LowestLevelDbfs, 0)} and 0."
        );
        CheckPauses(request);
        Need(
            request.PrintRatio is >= LowestPrintRatio and <= HighestPrintRatio,
            $"A printing ratio of {request.PrintRatio:0.###} cannot be",
            $"--print-ratio lies between {LowestPrintRatio} and {HighestPrintRatio}; 2 prints at half speed."
        );
        Need(
            request.SpeedCmPerSecond is null or (> 0.5 and < 400),
            $"A tape speed of {request.SpeedCmPerSecond:0.###} cm/s cannot be",
            "--speed is in centimetres a second: 4.76, 9.5, 19, 38."
        );
        Need(
            request.SideMinutes is null or (> 0 and <= LongestSideMinutes),
            $"A side of {request.SideMinutes:0.###} minutes cannot be",
            "--side is the playing time of one side: 30 for a C60."
        );
        Need(
            request.StripeTrack is null or (>= 1 and <= SendJob.MostTracks),
            $"There is no track {request.StripeTrack} for the stripe",
            $"Tracks are counted from 1 to {SendJob.MostTracks}."
        );
        Need(request.PassId is null || !string.IsNullOrWhiteSpace(request.PassId), "A pass cannot have an empty name", null);
    }

    private static void CheckRate(SendRequest request)
    {
        if (request.SampleRateHz is not { } rate)
            return;
        Need(
            SampleRate.IsSupported(rate),
            $"A sample rate of {rate} Hz cannot be written",
            $"--rate lies between {SampleRate.LowestHz} and {SampleRate.HighestHz}."
        );
        CheckSlateRate(request, rate);
    }

    /// <summary>Slates reach to 6 kHz.</summary>
    internal static void CheckSlateRate(SendRequest request, int sampleRateHz) =>
        Need(
            !request.Slates || sampleRateHz >= LowestSlateRateHz,
            $"A send at {sampleRateHz} Hz cannot carry slates",
            $"Give a --rate of {LowestSlateRateHz} or more, or --slate off."
        );

    private static void CheckPauses(SendRequest request)
    {
        var head = Slate.LengthSeconds(SlateKind.Head);
        var leastLead = request.Slates ? SendTiming.QuietSeconds + head + SendTiming.LeastClearSeconds : 0;
        Need(
            request.LeadSeconds >= leastLead && request.LeadSeconds <= LongestPauseSeconds,
            $"A lead of {request.LeadSeconds:0.###} s cannot be",
            request.Slates
                ? $"--lead is at least {Up(leastLead):0.00} s, so that the head slate fits with silence around it."
                : "--lead is 0 or more."
        );
        var leastGap = request.Slates && request.Layout == SendLayout.Serial ? LeastGapSeconds : 0;
        Need(
            request.GapSeconds >= leastGap && request.GapSeconds <= LongestPauseSeconds,
            $"A gap of {request.GapSeconds:0.###} s cannot be",
            leastGap > 0 ? $"--gap is at least {Up(leastGap):0.00} s, so that a slate fits with silence around it." : "--gap is 0 or more."
        );
    }

    internal static double LeastGapSeconds => Slate.LengthSeconds(SlateKind.Gap) + 2 * SendTiming.LeastClearSeconds;

    // A limit is told rounded up, so that the number told is accepted.
    private static double Up(double seconds) => Math.Ceiling(seconds * 100) / 100;

    private static void Need(bool holds, string what, string? advice)
    {
        if (!holds)
            throw Fault.Usage(what, advice);
    }
}
