using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>A print at one speed that is heard at another: half and double speed, and anything between.</summary>
internal static class PrintCalculation
{
    private const string Formula =
        "printing ratio = replay speed ÷ record speed = send duration ÷ source duration; a source's frequency is recorded at it ÷ the ratio";

    private static readonly AskedField Record = AskedField.Speed(
        "record",
        "Speed it is recorded at",
        "the speed it is recorded at, in cm/s or as 7.5ips"
    );
    private static readonly AskedField Replay = AskedField.Speed("replay", "Speed it is played back at", "the speed it is played back at");
    private static readonly AskedField Seconds = AskedField.Number(
        "seconds",
        "Length of the source",
        "S",
        "s",
        "how long the source is",
        0,
        1e6
    );
    private static readonly AskedField Low = AskedField.Number(
        "low",
        "The recording side begins at",
        "HZ",
        "Hz",
        "where the machine's recording side begins at that speed",
        0,
        1e6
    );
    private static readonly AskedField High = AskedField.Number("high", "And ends at", "HZ", "Hz", "where it ends", 0, 1e6);

    public static Calculation Create() =>
        new(
            "print",
            "Says what a print at half or double speed does to length, pitch and band.",
            "--record 9.525 --replay 19.05 --seconds 11.4",
            [Record, Replay, Seconds, Low, High],
            asked => Say(Answer(asked))
        )
        {
            Title = "Printing at another speed",
            Needs = "Both speeds; the length of the source and the machine's band where you want to know what becomes of them.",
        };

    private static PrintAnswer Answer(Asked asked)
    {
        var (record, replay, seconds) = (asked.Number(Record), asked.Number(Replay), asked.Number(Seconds));
        var (lowHz, highHz) = (asked.Number(Low), asked.Number(High));
        if (record is not { } at || replay is not { } heard)
            throw Fault.Usage($"{asked.Self} needs {asked.Call(Record, Replay)}", "They are the speeds of the two runs.");
        if (lowHz is { } l && highHz is { } h && l >= h)
            throw Fault.Usage($"{asked.Call(Low)} has to be below {asked.Call(High)}");
        var speeds = new PrintSpeeds(new TapeSpeed(at), new TapeSpeed(heard));
        return new PrintAnswer(
            at,
            heard,
            speeds.PrintRatio,
            speeds.PlainPitchCents,
            seconds,
            seconds is { } s ? speeds.SendSeconds(s) : null,
            seconds is { } t ? speeds.TapeCm(t) / 100 : null,
            seconds is { } p ? speeds.PlainReturnSeconds(p) : null,
            lowHz,
            highHz,
            lowHz is { } low ? speeds.SourceHz(low) : null,
            highHz is { } high ? speeds.SourceHz(high) : null,
            Formula
        );
    }

    private static Calculated Say(PrintAnswer answer)
    {
        List<(string, string)> facts =
        [
            ("as it is, it comes back", Figures.Signed(answer.PlainPitchCents, 2) + " cents"),
            ("to come back as it was: send --print-ratio", Figures.Plain(answer.PrintRatio, 6)),
        ];
        if (answer.SourceSeconds is not null)
        {
            facts.Add(("the send then lasts", Figures.Plain(answer.SendSeconds!.Value, 3) + " s"));
            facts.Add(("and takes", Figures.Plain(answer.TapeMetres!.Value, 2) + " m of tape"));
            facts.Add(("as it is, it lasts on return", Figures.Plain(answer.PlainReturnSeconds!.Value, 3) + " s"));
        }
        if (answer.SourceLowHz is { } low)
            facts.Add(("the recording side begins, of the source, at", Figures.Plain(low, 1) + " Hz"));
        if (answer.SourceHighHz is { } high)
            facts.Add(("and ends at", Figures.Plain(high, 1) + " Hz"));
        return new Calculated(answer, Formula)
        {
            Lead = [$"Recorded at {Figures.Speed(answer.RecordedCmPerSecond)}, heard at {Figures.Speed(answer.ReplayedCmPerSecond)}."],
            Facts = facts,
            Caution =
                "The machine equalises each speed in its own way: what is recorded at one and heard at another is brighter or duller, by as much as only the bench can tell.",
        };
    }
}
