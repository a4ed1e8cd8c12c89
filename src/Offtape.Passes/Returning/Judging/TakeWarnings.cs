using Offtape.Base;
using Offtape.Passes.Writing;
using Offtape.Tape;

namespace Offtape.Passes.Judging;

/// <summary>The mishaps of a take, each with its code and what to do.</summary>
internal static class TakeWarnings
{
    // Fainter than the hiss of a good tape (judged, no source).
    private const double AudibleBleedDbfs = -60;
    private const double MixupTolerance = 0.028;

    internal static List<ReturnWarning> For(
        TakePlan plan,
        TakeReading reading,
        ReturnRequest request,
        IReadOnlyList<SheetSlate> missingSlates,
        long clippedOnWriting
    )
    {
        var warnings = new List<ReturnWarning>();
        void Add(string code, string text) => warnings.Add(new ReturnWarning(code, text));
        var exceptInShift = request.Retimings.Contains(Retiming.Shift) ? ", except in shift" : "";
        var name = plan.SourceName;
        if (reading.NeverWentThroughTape)
            Add(
                WarningCode.NotThroughTape,
                "This return never went through tape: it is the send itself, with no wobble. The machine's monitor switch probably stands on source; set it to tape and print again."
            );
        if (reading.Leak is { } leak)
            Add(
                WarningCode.DryLeak,
                $"The send leaks into this return {Words.Number(-leak.LevelDb, 0)} dB under the tape and {Words.Number(leak.AheadSeconds * 1e3, 0)} ms ahead of it. Mute the input's direct monitoring, and keep send and return cables apart."
            );
        if (reading.HasTapeEnded)
            Add(
                WarningCode.TapeEnded,
                $"The tape ended {Words.Clock(reading.EndSourceSeconds)} into {name}. Print it again where there is room."
            );
        if (reading.IsCaptureShort)
            Add(
                WarningCode.ShortCapture,
                plan.Take.FirstHeard >= 0.02
                    ? $"The capture begins {Words.Clock(plan.Take.FirstHeard * plan.Take.NominalSpeed)} into {name}. Start recording before the tape."
                    : $"The capture ends {Words.Clock(reading.EndSourceSeconds)} into {name}. Let it record until the tape has stopped."
            );
        foreach (var stand in plan.Handling.Stands)
            Add(
                WarningCode.StopInTake,
                $"The tape stopped {Words.Clock(plan.Take.ToSourceFileSeconds(stand.FromSource))} into {name} and started again {Words.Number(stand.ToCapture - stand.FromCapture, 1)} s later. The stop is left as it is heard; the sound is in time before and after it. Print it again if that was not meant."
            );
        if (plan.Handling.Rides.Count > 0 && !request.FlattenRides && request.Retimings.Any(r => r != Retiming.Lock))
        {
            var widest = plan.Handling.Rides.MaxBy(r => Math.Abs(Math.Log(r.PeakRatio)));
            Add(
                WarningCode.RideKept,
                $"The pitch was ridden {Words.Clock(plan.Take.ToSourceFileSeconds(widest.FromSeconds))} into {name}, by up to {Words.Signed(Conversions.RatioToCents(widest.PeakRatio), 0)} cents. The ride was kept; --flatten-rides takes it out of steady, and lock takes out all."
            );
        }
        if (reading.Unsure is { } unsure && request.Retimings.Any(r => r is Retiming.Steady or Retiming.Lock))
            Add(
                WarningCode.UnsureMap,
                $"The tape cannot be followed surely from {Words.Clock(unsure.FromSourceSeconds)} to {Words.Clock(unsure.ToSourceSeconds)} of {name}: the sound there says too little of it, and may be {Words.Number(2e3 * unsure.SigmaSeconds, 1)} ms off. Listen there, or print it with a stripe."
            );
        if (MixedUpRate(reading.SpeedRatio) is { } rates)
            Add(
                WarningCode.SampleRateMixup,
                $"The return runs at {Words.Number(reading.SpeedRatio, 4)} of its speed: that is {rates}. The capture's file probably says the wrong sample rate; set the interface and the file to one rate."
            );
        if (reading.ClippedRuns > 0)
            Add(
                WarningCode.Clipped,
                $"The interface was overdriven in {Words.Count(reading.ClippedRuns, "place")}. Turn its input down and record the return again."
            );
        if (clippedOnWriting > 0)
            Add(
                WarningCode.Clipped,
                $"{Words.Count(clippedOnWriting, "sample")} did not fit the file's depth and were clipped. Write 32-bit float, or less level."
            );
        if (reading.IsLevelControlled)
            Add(
                WarningCode.LevelControl,
                "The machine rode the level by itself. Switch its automatic level control off, or send less, and print again."
            );
        var inverted = plan.Channels.Channels.Where(c => c.Polarity < 0).ToList();
        if (inverted.Count > 0)
        {
            var which = inverted.Count == plan.Channels.Channels.Length ? "The return is" : $"Channel {inverted[0].SourceChannel + 1} is";
            var done = request.KeepPolarity ? "It was left so." : $"It was turned back{exceptInShift}.";
            Add(WarningCode.PolarityInverted, $"{which} upside down. {done}");
        }
        if (
            plan.Channels.IsOrderKnown
            && plan.Channels.Channels.Length == 2
            && plan.Channels.Channels[0].CaptureChannel > plan.Channels.Channels[1].CaptureChannel
        )
            Add(
                WarningCode.ChannelsSwapped,
                $"Left and right came back swapped. {(request.KeepChannels ? "They were left so." : $"They were put right{exceptInShift}.")}"
            );
        if (plan.Bleeds.Count > 0 && plan.Bleeds.Max(b => b.LeftDbfs) is var left and > AudibleBleedDbfs)
            Add(
                WarningCode.StripeBleed,
                $"The stripe bleeds into {name}; it was taken out{exceptInShift}, and what is left may be heard in pauses at {Words.Number(left, 0)} dBFS. Print the stripe lower, or leave a track free beside it."
            );
        foreach (var slate in missingSlates.Where(s => s.Kind != SlateKind.Gap))
            Add(
                WarningCode.SlateMissing,
                slate.Kind == SlateKind.Head
                    ? "The head slate was not heard: leader tape, or a late start. The others told the place."
                    : "The tail slate was not heard: the capture or the tape ended before it. The others told the place."
            );
        return warnings;
    }

    /// <summary>The pair of usual rates whose confusion gives this speed, in words; null where none does.</summary>
    private static string? MixedUpRate(double speedRatio)
    {
        // The tape's own speed may be off as well, by as much again as a worn deck's two runs are.
        foreach (var (recorded, labelled) in new[] { (44.1, 48.0), (48.0, 44.1) })
        {
            if (Math.Abs(speedRatio / (labelled / recorded) - 1) < MixupTolerance)
                return $"{recorded:0.#} kHz sound in a file that says {labelled:0.#} kHz";
        }
        return null;
    }
}
