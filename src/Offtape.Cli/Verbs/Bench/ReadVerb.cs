using System.CommandLine;
using System.Globalization;
using Offtape.Base;
using Offtape.Bench;
using Offtape.Cli.Shell;
using Offtape.Passes;
using Offtape.Tape;

namespace Offtape.Cli.Verbs.Bench;

/// <summary>Reads what came back of a check signal.</summary>
internal static class ReadVerb
{
    public static Verb Create()
    {
        var captures = SoundArguments.Many(
            "CAPTURE",
            "what was recorded from the machine: one file, or several of one machine (start, middle and end of the tape), or folders of them"
        );
        var sheet = Quantities.Text(
            "--sheet",
            "FILE",
            "the sheet of the check signal; the one beside the capture unless told, else the usual check signal"
        );
        var how = Quantities.Choice(
            "--how",
            "how the capture was taken; it decides what can be known",
            "off-tape",
            "rewound",
            "foreign-tape"
        );
        var to = Quantities.Text("--to", "DIR", "folder that receives bench.json, bench.html and the plots");
        var machine = Quantities.Text("--machine", "NAME", "the machine's name, for the report");
        var gap = Quantities.Number("--gap-mm", "MM", "distance from the record head to the replay head along the tape", 0, 10_000);
        var speed = Quantities.Speed("--speed", "tape speed, in cm/s or as 7.5ips");
        var format = Quantities.Text("--format", "WORD", $"tracks on the tape: {Words.List([.. TrackFormatNames.Words])}");
        var capstan = Quantities.Number("--capstan-mm", "MM", "diameter of the capstan; the usual ones unless told", 0, 100);
        var turning = BenchOptions.Turning();
        var baseline = Quantities.Text(
            "--baseline",
            "REPORT",
            "an earlier bench.json of this machine in good order (or its folder): lost treble is judged against its response"
        );
        var mains = Quantities.Choice("--mains", "mains frequency in Hz; both are looked for unless told", "50", "60");
        var interfaceDelay = Quantities.Number(
            "--interface-delay-ms",
            "MS",
            "delay of the interface's own loop, from output to input",
            -1e-9,
            10_000
        );
        var sendStart = Quantities.Number(
            "--send-start",
            "SECONDS",
            "second of the capture at which bench.wav was started: 0 where both were started as one; not known unless told",
            -86_400,
            86_400
        );
        var erased = Quantities.Text("--erased", "CAPTURE", "a later replay, with the erasure stretch recorded over");
        var part = Quantities.Text(
            "--parts",
            "NAME[,...]",
            "read these parts only, by name or by kind; a part that is named is found without slates as well"
        );
        part.Aliases.Add("--part");
        var limit = Quantities.Texts(
            "--limit",
            "QUANTITY=LEAST..MOST",
            "your own limit, as weightedTwoSigma=..0.15; outside it the exit status is 3"
        );
        var date = Quantities.Text("--date", "YYYY-MM-DD", "day of the measurement; that of the capture's file unless told");
        var studio = StudioInUse.Option();
        var command = new Command("read", "Reads a capture of the check signal.")
        {
            captures,
            sheet,
            how,
            to,
            machine,
            gap,
            speed,
            format,
            capstan,
            turning,
            baseline,
            mains,
            interfaceDelay,
            sendStart,
            erased,
            part,
            limit,
            date,
            studio,
        };
        return new Verb(
            command,
            "offtape bench read capture.wav --how rewound --to report --speed 4.76",
            (parsed, desk, cancellation) =>
                Run(
                    new BenchReadRequest
                    {
                        Captures = parsed.GetValue(captures)!,
                        SheetPath = parsed.GetValue(sheet),
                        How = parsed.GetValue(how) switch
                        {
                            "off-tape" => HowTaken.OffTape,
                            "rewound" => HowTaken.Rewound,
                            "foreign-tape" => HowTaken.ForeignTape,
                            _ => throw Fault.Usage(
                                "bench read needs --how off-tape, rewound or foreign-tape",
                                "It decides what can be known: heard while recording, rewound and replayed, or from another machine's tape."
                            ),
                        },
                        TargetFolder =
                            parsed.GetValue(to)
                            ?? throw Fault.Usage("bench read needs --to DIR", "It names the folder that receives the report."),
                        Facts = new MachineFacts
                        {
                            Name = parsed.GetValue(machine) ?? "",
                            HeadDistanceMm = parsed.GetValue(gap),
                            SpeedCmPerSecond = parsed.GetValue(speed),
                            Format = Format(parsed.GetValue(format)),
                            CapstanMm = parsed.GetValue(capstan),
                            Parts = [.. SignalsVerb.Split(parsed.GetValue(turning)).Select(KnownPartWords.Parse)],
                            Baseline = Baseline(parsed.GetValue(baseline)),
                            MainsHz = parsed.GetValue(mains) is { } hz ? double.Parse(hz, CultureInfo.InvariantCulture) : null,
                            InterfaceDelaySeconds = Math.Max(0, parsed.GetValue(interfaceDelay) ?? 0) / 1000,
                            SendStartCaptureSeconds = parsed.GetValue(sendStart),
                        },
                        ErasedCapture = parsed.GetValue(erased),
                        Parts = SignalsVerb.Split(parsed.GetValue(part)),
                        Limits = [.. (parsed.GetValue(limit) ?? []).Select(ReadingLimit.Parse)],
                        Date = Day(parsed.GetValue(date)),
                        Footer = $"Made by offtape {CommandLine.Version} bench read.",
                        Force = desk.Force,
                    },
                    StudioInUse.Folder(parsed, studio),
                    desk,
                    cancellation
                )
        );
    }

    internal static ExitCode Run(BenchReadRequest request, string? studio, Desk desk, CancellationToken cancellation)
    {
        var result = BenchReadJob.Run(request, desk.Progress.Begin(), cancellation);
        StudioInUse.Note(studio, desk, log => log.Bench(result.Files[0], SoundFolders.Files(request.Captures)));
        foreach (var notice in result.Report.Notices)
            desk.Tell(notice);
        desk.Result(result.Report.ToJson(), sheet => BenchWords.Say(result, sheet));
        return result.ExitCode;
    }

    private static IReadOnlyList<ReadingCurve> Baseline(string? path)
    {
        if (path is null)
            return [];
        var curves = BenchReport.Load(path).Curves;
        return curves.Any(c => c.Quantity == "responseFine")
            ? curves
            : throw Fault.Usage(
                $"{path} has no response to judge by",
                "The report of a machine in good order has one where its sweeps were read."
            );
    }

    private static TrackFormat? Format(string? word) =>
        word is null
            ? null
            : TrackFormatNames.Find(word)
                ?? throw Fault.Usage($"--format is one of {Words.List([.. TrackFormatNames.Words])}, not \"{word}\"");

    private static string? Day(string? text) =>
        text is null || DateOnly.TryParseExact(text, "yyyy-MM-dd", out _)
            ? text
            : throw Fault.Usage($"--date is a day as 2026-05-31, not \"{text}\"");
}
