using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Tape;

namespace Offtape.Cli.Verbs.Calculations;

/// <summary>The answer of <c>calc print</c>.</summary>
internal sealed record PrintAnswer(
    double RecordedCmPerSecond,
    double ReplayedCmPerSecond,
    double PrintRatio,
    double PlainPitchCents,
    double? SourceSeconds,
    double? SendSeconds,
    double? TapeMetres,
    double? PlainReturnSeconds,
    double? BandLowHz,
    double? BandHighHz,
    double? SourceLowHz,
    double? SourceHighHz,
    string Formula
);

/// <summary>A print at one speed that is heard at another: half and double speed, and anything between.</summary>
internal static class PrintVerb
{
    private const string Formula =
        "printing ratio = replay speed ÷ record speed = send duration ÷ source duration; a source's frequency is recorded at it ÷ the ratio";

    public static Verb Create()
    {
        var record = Quantities.Speed("--record", "the speed it is recorded at, in cm/s or as 7.5ips");
        var replay = Quantities.Speed("--replay", "the speed it is played back at");
        var seconds = Quantities.Number("--seconds", "S", "how long the source is", 0, 1e6);
        var low = Quantities.Number("--low", "HZ", "where the machine's recording side begins at that speed", 0, 1e6);
        var high = Quantities.Number("--high", "HZ", "where it ends", 0, 1e6);
        var command = new Command("print", "Says what a print at half or double speed does to length, pitch and band.")
        {
            record,
            replay,
            seconds,
            low,
            high,
        };
        return Verb.Answering(
            command,
            "offtape calc print --record 9.525 --replay 19.05 --seconds 11.4",
            parsed =>
                Answer(
                    parsed.GetValue(record),
                    parsed.GetValue(replay),
                    parsed.GetValue(seconds),
                    parsed.GetValue(low),
                    parsed.GetValue(high)
                ),
            CliJsonContext.Default.PrintAnswer,
            Say
        );
    }

    internal static PrintAnswer Answer(double? record, double? replay, double? seconds, double? lowHz, double? highHz)
    {
        if (record is not { } at || replay is not { } heard)
            throw Fault.Usage("calc print needs --record and --replay", "They are the speeds of the two runs.");
        if (lowHz is { } l && highHz is { } h && l >= h)
            throw Fault.Usage("--low has to be below --high");
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

    private static void Say(PrintAnswer answer, Sheet sheet)
    {
        sheet
            .Line($"Recorded at {Figures.Speed(answer.RecordedCmPerSecond)}, heard at {Figures.Speed(answer.ReplayedCmPerSecond)}.")
            .Line();
        List<IReadOnlyList<string>> rows =
        [
            (string[])["as it is, it comes back", Figures.Signed(answer.PlainPitchCents, 2) + " cents"],
            (string[])["to come back as it was: send --print-ratio", Figures.Plain(answer.PrintRatio, 6)],
        ];
        if (answer.SourceSeconds is not null)
        {
            rows.Add((string[])["the send then lasts", Figures.Plain(answer.SendSeconds!.Value, 3) + " s"]);
            rows.Add((string[])["and takes", Figures.Plain(answer.TapeMetres!.Value, 2) + " m of tape"]);
            rows.Add((string[])["as it is, it lasts on return", Figures.Plain(answer.PlainReturnSeconds!.Value, 3) + " s"]);
        }
        if (answer.SourceLowHz is { } low)
            rows.Add((string[])["the recording side begins, of the source, at", Figures.Plain(low, 1) + " Hz"]);
        if (answer.SourceHighHz is { } high)
            rows.Add((string[])["and ends at", Figures.Plain(high, 1) + " Hz"]);
        sheet
            .Table(["", ">"], rows)
            .Line()
            .Paragraph(
                $"{Formula}. The machine equalises each speed in its own way: what is recorded at one and heard at another is brighter or duller, by "
                    + "as much as only the bench can tell."
            );
    }
}
