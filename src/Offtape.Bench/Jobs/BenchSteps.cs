using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>What is done with a line-up tone and with a check signal, step by step. Common practice, no source.</summary>
public static class BenchSteps
{
    private const string LoudTones =
        "The tones are loud and steady. Turn monitors down and take headphones off before anything is played; leave them so until the run is over.";

    private const string NoLoop =
        "Never monitor the return into the outputs that feed the machine: it howls, and the howl is printed. Silence every other sound of the computer.";

    public static IReadOnlyList<BenchStep> ForLineUp(int frequencyHz, double levelDbfs)
    {
        var level = $"{Words.Number(levelDbfs, 0)} dBFS";
        var zero = $"{Words.Number(-levelDbfs, 0)} dB";
        return Numbered(
            ("Turn monitors down and take headphones off.", LoudTones),
            ("Switch noise reduction off, and any automatic level. Set bias and equalisation for the tape that is in the machine.", null),
            (
                $"Put the machine into record-pause, with its monitor switch on source. Play {LineUpJob.FileName} round and round: {frequencyHz} Hz at "
                    + $"{level} peak on every channel. Keep the interface's output and the computer's volume at one setting from here on.",
                NoLoop
            ),
            (
                "Turn the record level of each channel until its meter stands at the machine's own zero: 0 VU, 0 dB, or the mark that its handbook "
                    + "calls operating level.",
                null
            ),
            (
                "Record half a minute of it. With a separate replay head, set the monitor switch to tape; else rewind and play it back.",
                "Recording erases what is on the tape: listen first."
            ),
            (
                "While it plays back, turn the machine's output level, where it has one, until its meter stands at the same mark; else leave it.",
                null
            ),
            (
                $"Turn the interface's input trim until the return, too, peaks at {level}. Both channels alike, to a few tenths of a decibel.",
                "If it cannot come up so far, the output is too low for this input: use a line input, not one that is meant for instruments."
            ),
            (
                $"Now {level} in the computer is operating level on tape, there and back, and {zero} are left above it. Write down the positions of "
                    + "all knobs with the machine; bench signals and send use the same level, and bench.json keeps it.",
                null
            )
        );
    }

    /// <param name="sheet">The sheet of the check signal.</param>
    /// <param name="isInApp">The steps are read in the app, where files are dropped and nothing is typed.</param>
    public static IReadOnlyList<BenchStep> ForSignal(BenchSheet sheet, bool isInApp = false)
    {
        var level = $"{Words.Number(sheet.OperatingLevelDbfs, 1)} dBFS";
        var loudest = sheet.Parts.Max(PartSound.PeakDb);
        var steps = new List<(string, string?)>
        {
            ("Turn monitors down and take headphones off.", LoudTones),
            (
                "With the machine switched off, clean heads, guides, capstan and pinch roller, and let them dry. A first run before cleaning tells how "
                    + "much it helped.",
                "Alcohol burns, and dries out rubber: the pinch roller wants rubber cleaner. Leave the covers closed; what is behind them is for a "
                    + "licensed repair person."
            ),
            (
                "Switch noise reduction off, on the machine and on anything between, and any automatic level. Set the pitch control to its middle.",
                null
            ),
            (
                $"Line up {(isInApp ? $"with {LineUpJob.FileName}" : "with bench line-up")}, so that {level} peak is operating level."
                    + (
                        double.IsFinite(loudest)
                            ? $" The loudest part peaks {Words.Number(Math.Abs(loudest), 0)} dB {(loudest >= 0 ? "above" : "under")} it: that is meant."
                            : ""
                    ),
                null
            ),
            (
                $"Wind past the leader and set the counter to zero. The signal takes {Words.Duration(sheet.LengthSeconds)} of tape.",
                "Recording erases what is on the tape: listen first."
            ),
            (
                "Start the machine recording, let it run for five seconds, start recording the return on the computer, then play "
                    + $"{BenchSheet.SignalFileName} once, from its beginning to its end.",
                NoLoop
            ),
            (
                "With a separate replay head, the monitor switch on tape: the return of this run is the capture, taken off-tape. With one head for "
                    + "both: rewind to zero, start recording on the computer, and replay: that capture is taken rewound.",
                "Keep fingers, hair and sleeves away from the capstan and the turning reels."
            ),
        };
        if (sheet.Parts.FirstOrDefault(p => p.Kind == BenchPartKind.Erasure) is { } erasure)
            steps.Add((Erasure(sheet, erasure, isInApp), "The tail slate stands behind the stretch and is to stay: stop before it."));
        steps.Add(
            (
                "For figures of the whole tape, do the same at its middle and its end, and read all captures together"
                    + (isInApp ? "." : ": bench read takes several."),
                null
            )
        );
        steps.Add(
            (
                isInApp
                    ? "Drop the recording below, say how it was taken, and read it."
                    : "Read it: offtape bench read CAPTURE --how off-tape|rewound --to DIR.",
                null
            )
        );
        return Numbered([.. steps]);
    }

    private static string Erasure(BenchSheet sheet, BenchPart part, bool isInApp)
    {
        var slate = sheet.Slates.LastOrDefault(s => s.StartSeconds < part.StartSeconds);
        var half = part.StartSeconds + part.LengthSeconds / 2;
        var end = part.StartSeconds + part.LengthSeconds;
        var from = slate is null
            ? $"the loud tone of {TheTone(part)}"
            : $"the last slate before the loud tone, the two short sweeps at {Words.Clock(slate.StartSeconds)} of the signal";
        var after = slate is null ? "" : $", {Words.Number(half - slate.StartSeconds, 0)} s after that slate begins";
        return $"For erasure: rewind to {from}. Play; at the middle of the tone ({Words.Clock(half)}{after}) begin to record silence over it, with the "
            + $"input turned down, and stop at its end ({Words.Clock(end)}). Rewind, replay that stretch from the slate on into a second capture, and "
            + (isInApp ? "drop that one, too, and say that it is the one of erasure." : "give it to bench read with --erased.");

        static string TheTone(BenchPart p) => $"{p.FrequencyHz:0} Hz";
    }

    private static IReadOnlyList<BenchStep> Numbered(params (string Text, string? Caution)[] steps) =>
        [.. steps.Select((s, i) => new BenchStep(i + 1, s.Text, s.Caution))];
}
