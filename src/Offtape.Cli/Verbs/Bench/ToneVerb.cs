using System.CommandLine;
using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Bench;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;

namespace Offtape.Cli.Verbs.Bench;

/// <summary>Speed, wow and flutter of a plain recorded tone, from any tape and any recorder.</summary>
internal static class ToneVerb
{
    public static Verb Create()
    {
        var capture = new Argument<string>("CAPTURE") { Description = "a recording of a steady tone, 300 Hz to 10 kHz, best 40 s" };
        var nominal = Quantities.Number(
            "--nominal",
            "HZ",
            "what frequency was recorded on the tape; needed for the speed error",
            20,
            20_000
        );
        var speed = Quantities.Speed("--speed", "tape speed, in cm/s or as 7.5ips: names the turning parts that wobble may come from");
        var capstan = Quantities.Number(
            "--capstan",
            "MM",
            "diameter of the capstan, with --speed; a usual one where it is left out",
            0,
            100
        );
        var turning = BenchOptions.Turning();
        var command = new Command("tone", "Reads speed, wow and flutter from a recorded tone (AES6-2008, IEC 60386).")
        {
            capture,
            nominal,
            speed,
            capstan,
            turning,
        };
        return new Verb(
            command,
            "offtape bench tone table.wav --nominal 3150",
            (parsed, desk, cancellation) =>
                Run(
                    parsed.GetValue(capture)!,
                    parsed.GetValue(nominal),
                    new MachineFacts
                    {
                        SpeedCmPerSecond = parsed.GetValue(speed),
                        CapstanMm = parsed.GetValue(capstan),
                        Parts = [.. SignalsVerb.Split(parsed.GetValue(turning)).Select(KnownPartWords.Parse)],
                    },
                    desk,
                    cancellation
                )
        );
    }

    private static ExitCode Run(string file, double? nominalHz, MachineFacts facts, Desk desk, CancellationToken cancellation)
    {
        using var reader = AudioFile.Open(file);
        desk.Progress.Begin().Report("reading", 0, "listening to the tone");
        var report = ToneJob.Read(reader, nominalHz, facts, cancellation);
        foreach (var notice in reader.Notices)
            desk.Tell(notice);
        var answer = ToneAnswer.Of(report);
        desk.Result(answer, CliJsonContext.Default.ToneAnswer, sheet => ToneWords.Say(report, sheet));
        foreach (var notice in report.Findings.Notices)
            desk.Tell(notice);
        return ExitCode.Done;
    }
}
