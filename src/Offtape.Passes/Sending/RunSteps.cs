using System.Text;
using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Passes;

/// <summary>The run of tape that a sheet asks for, step by step, as one does it.</summary>
public static class RunSteps
{
    /// <summary>The run of a pass of which only the sheet is at hand.</summary>
    public static IReadOnlyList<RunStep> For(PassSheet sheet) =>
        For(
            sheet,
            new SidePlan(
                sheet.SideMinutes * 60,
                sheet.LengthSeconds + SendTiming.MarginStartSeconds + SendTiming.MarginEndSeconds,
                SendTiming.MarginStartSeconds,
                SendTiming.MarginEndSeconds,
                Fits: true,
                sheet.TapeMetres,
                [],
                [],
                null
            )
        );

    /// <param name="sheet">The pass.</param>
    /// <param name="side">How much tape it takes.</param>
    public static IReadOnlyList<RunStep> For(PassSheet sheet, SidePlan side)
    {
        var steps = new List<RunStep>();
        void Add(RunStepKind kind, string text, string? caution = null) => steps.Add(new RunStep(steps.Count + 1, kind, text, caution));

        Add(
            RunStepKind.Clean,
            "With the machine switched off, clean heads, guides and capstan with isopropyl alcohol on a lint-free swab, along the way of the "
                + "tape; let them dry.",
            "Alcohol burns, and dries out rubber: the pinch roller wants rubber cleaner. Leave the covers closed; what is behind them is for "
                + "a licensed repair person."
        );
        Add(
            RunStepKind.NoiseReductionOff,
            $"Switch noise reduction off, on the machine and on anything between. Set {Speed(sheet)}bias and equalisation for this tape."
        );
        Add(
            RunStepKind.CounterToZero,
            $"Wind to the beginning of the side and set the counter to zero. This pass takes {Words.Duration(side.NeededSeconds)} of tape"
                + (side.TapeMetres is { } metres ? $", {Words.Number(metres, 1)} m" : "")
                + (side.SideSeconds is { } seconds ? $"; the side has {Words.Duration(seconds)}." : "."),
            "Recording erases what is on the tape: listen first."
        );
        Add(RunStepKind.LineUp, LineUp(sheet), "The tone is loud and steady: turn monitors down and take headphones off first.");
        Add(
            RunStepKind.Record,
            "Start the machine recording. If it has a separate replay head, set its monitor switch to tape and start recording the return on "
                + "the computer now.",
            "Keep fingers, hair and sleeves away from the capstan and the turning reels."
        );
        Add(RunStepKind.WaitForLeader, $"Let the leader pass the heads, then wait {Words.Number(side.MarginStartSeconds, 0)} s more.");
        Add(
            RunStepKind.PlaySend,
            PlaySend(sheet),
            "Never monitor the return into the outputs that feed the machine: it howls, and the howl is printed. Silence every other sound "
                + "of the computer."
        );
        Add(
            RunStepKind.RunPast,
            $"When the send is over, let the tape run {Words.Number(side.MarginEndSeconds, 0)} s past "
                + (sheet.Slates.Count > 0 ? "the tail slate." : "the last sound.")
        );
        Add(
            RunStepKind.Stop,
            $"Stop. Write counter, levels and the pass, {sheet.PassId}, on the box. If record and replay share a head: rewind to zero, start "
                + "recording the return on the computer, then replay the whole pass."
        );
        return steps;
    }

    /// <summary>The steps as plain text, cautions indented under theirs.</summary>
    public static string ToText(IEnumerable<RunStep> steps)
    {
        var text = new StringBuilder();
        foreach (var step in steps)
        {
            text.Append($"{step.Number, 2}. {step.Text}\n");
            if (step.Caution is { } caution)
                text.Append($"    Caution: {caution}\n");
        }
        return text.ToString();
    }

    private static string Speed(PassSheet sheet) => sheet.SpeedCmPerSecond is { } speed ? $"the speed to {new TapeSpeed(speed)}, and " : "";

    private static string LineUp(PassSheet sheet)
    {
        var level = $"{Words.Number(sheet.OperatingLevelDbfs, 0)} dBFS";
        if (sheet.LineUp is not { } tone)
            return $"Set the record level so that a sine of {level} peak stands at operating level (0 on the meter), both channels alike. "
                + Loudest(sheet);
        var end = tone.StartSeconds + tone.LengthSeconds;
        return $"Play the first {Words.Number(end, 0)} s of {PassSheet.SendFileName} into the machine in record-pause: from "
            + $"{Words.Clock(tone.StartSeconds)} to {Words.Clock(end)} it is {Words.Number(tone.FrequencyHz, 0)} Hz at {level} peak. Turn each "
            + "record level until it stands at operating level (0 on the meter), then go back to the beginning of the send. "
            + Loudest(sheet);
    }

    private static string Loudest(PassSheet sheet)
    {
        var over = sheet.LevelDbfs - sheet.OperatingLevelDbfs;
        return $"The loudest sound peaks {Words.Number(Math.Abs(over), 1)} dB {(over >= 0 ? "above" : "under")} that.";
    }

    private static string PlaySend(PassSheet sheet)
    {
        var text = new StringBuilder(
            $"Play {PassSheet.SendFileName} once, from its beginning, at the level just set: {Words.Clock(sheet.LengthSeconds)}. "
        );
        var first = sheet.Items.MinBy(i => i.StartSeconds)!;
        if (sheet.Slates.FirstOrDefault(s => s.Kind == SlateKind.Head) is { } head)
            text.Append($"The head slate sounds at {Words.Clock(head.StartSeconds)}, ");
        text.Append(sheet.Slates.Count > 0 ? "the" : "The").Append($" first sound at {Words.Clock(first.StartSeconds)}");
        if (sheet.Slates.LastOrDefault(s => s.Kind == SlateKind.Tail) is { } tail)
            text.Append($", the tail slate ends at {Words.Clock(tail.StartSeconds + tail.LengthSeconds)}");
        text.Append('.');
        if (sheet.PrintRatio != 1)
            text.Append(
                sheet.PrintRatio > 1
                    ? $" The sounds are {sheet.PrintRatio:0.##} times as long as they are: that is meant."
                    : $" The sounds are {1 / sheet.PrintRatio:0.##} times as fast as they are: that is meant."
            );
        if (sheet.Reversed)
            text.Append(" The sounds run backwards: that is meant.");
        return text.ToString();
    }
}
