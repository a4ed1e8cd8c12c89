using Offtape.Base;

namespace Offtape.Passes;

/// <summary>What a send tells beside its result.</summary>
internal static class SendNotices
{
    internal static Notice Silent(SourceFile source) =>
        new("silent-source", $"{source.Name} is silent from end to end and was left out: there is nothing to print.");

    internal static Notice Clipped(long sampleCount) =>
        new(
            "clipped",
            $"{Words.Count(sampleCount, "sample")} of the send went over full scale and {(sampleCount == 1 ? "was" : "were")} clipped. Lower --level."
        );

    internal static void Add(List<Notice> notices, SendPlan plan, TrackPlan tracks, SidePlan side)
    {
        var request = plan.Request;
        AddSameNames(notices, plan);
        if (tracks.MonoAvoidsStripe)
            notices.Add(
                new Notice(
                    "stripe-track",
                    $"Track {request.StripeTrack} carries the stripe alone: mono sources go to the other tracks only."
                )
            );
        if (!request.Slates)
            notices.Add(
                new Notice(
                    "no-slates",
                    "Without slates the sounds will be found by themselves alone, and alike ones may be taken for each other."
                )
            );
        var quietSeconds =
            plan.Time.Items[0].StartFrame / (double)plan.SampleRateHz - (plan.Time.Tone?.EndFrameExcl ?? 0) / (double)plan.SampleRateHz;
        if (!request.Slates && quietSeconds < SendTiming.QuietSeconds)
            notices.Add(
                new Notice(
                    "short-quiet",
                    $"There is less than {Words.Number(SendTiming.QuietSeconds, 0)} s of silence before the first sound: the machine's noise cannot be measured there."
                )
            );
        AddQuiet(notices, plan);
        AddSide(notices, side, plan);
    }

    // With one gain for all, a soft source may end up where the machine's own noise is.
    private static void AddQuiet(List<Notice> notices, SendPlan plan)
    {
        foreach (var item in plan.Items)
        {
            var peakDbfs = Conversions.AmplitudeToDb(item.Source.PeakLinear) + item.GainDb;
            if (peakDbfs < SendTiming.OperatingLevelDbfs - SendTiming.QuietUnderOperatingLevelDb)
                notices.Add(
                    new Notice(
                        "quiet-source",
                        $"{item.Source.Name} peaks at {Words.Number(peakDbfs, 1)} dBFS in the send, near the noise of many machines. "
                            + "--level-each lifts it, and the return undoes the gain."
                    )
                );
        }
    }

    private static void AddSameNames(List<Notice> notices, SendPlan plan)
    {
        foreach (var group in plan.Items.GroupBy(i => i.Source.Name, StringComparer.OrdinalIgnoreCase).Where(g => g.Count() > 1))
            notices.Add(
                new Notice(
                    "same-name",
                    $"{Words.Count(group.Count(), "source")} are called {group.Key}: the sheet numbers them in their order."
                )
            );
    }

    private static void AddSide(List<Notice> notices, SidePlan side, SendPlan plan)
    {
        if (side.Fits)
            return;
        var needs =
            $"The pass needs {Words.Duration(side.NeededSeconds)} of tape, with {Words.Number(side.MarginStartSeconds, 0)} s before the send and "
            + $"{Words.Number(side.MarginEndSeconds, 0)} s after it";
        if (side.TapeMetres is { } metres)
            needs += $": {Words.Number(metres, 1)} m";
        var sideSeconds = side.SideSeconds!.Value;
        var text =
            $"{needs}; the side has {Words.Duration(sideSeconds)}, {Words.Duration(side.NeededSeconds - sideSeconds)} less. Nothing was written. ";
        text += side switch
        {
            { TooLong.Count: > 0 } => $"Too long for any side of this length: {Words.List(side.TooLong)}.",
            { Sides.Count: > 0 } => $"It would fit on {Words.Count(side.Sides.Count, "side")}.",
            _ => "Send fewer sources at once.",
        };
        text +=
            side.ShortestTape is { } tape ? $" On one side: {tape}."
            : plan.Request.SpeedCmPerSecond is null ? " No usual tape is long enough for it at cassette speed."
            : " No usual tape is long enough for it at this speed.";
        notices.Add(new Notice("side-too-short", text));
    }
}
