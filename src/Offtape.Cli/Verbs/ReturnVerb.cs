using System.CommandLine;
using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Cli.Shell;
using Offtape.Passes;

namespace Offtape.Cli.Verbs;

/// <summary>Finds every sound in what came back and writes it at its place.</summary>
internal static class ReturnVerb
{
    private const double DefaultCornerHz = 0.3;
    private const double DefaultReachPercent = 4;

    public static Verb Create()
    {
        var captures = SoundArguments.Many("CAPTURE", "what was recorded from the machine: files, or folders of them");
        var pass = Quantities.Texts("--pass", "DIR|FILE", "the pass that was played: its folder, or its pass.json");
        var source = Quantities.Texts("--source", "FILE...", "the clean sounds, where there is no pass sheet");
        var to = Quantities.Text("--to", "DIR", "folder that receives the takes and return.json");
        var retime = Quantities.Text(
            "--retime",
            "steady|shift|fit|lock[,...]",
            "how much movement is taken out; shift moves only, bit for bit; fit keeps one speed; steady takes out what is slow; "
                + "lock takes out all that can be followed; steady unless told"
        );
        var corner = Quantities.Number(
            "--corner",
            "HZ",
            $"for steady: slower movement than this is taken out; {DefaultCornerHz} unless told",
            0,
            1000
        );
        var flattenRides = Quantities.Switch("--flatten-rides", "take out what a hand on the pitch control did, too");
        var asPrinted = Quantities.Switch("--as-printed", "leave another tape speed or direction as it is heard");
        var tail = Quantities.Number("--tail", "SECONDS", "kept after each source's end", -1e-9, 3601);
        var head = Quantities.Number("--head", "SECONDS", "kept before each source's beginning", -1e-9, 3601);
        var sameLength = Quantities.Switch("--same-length", "make all takes as long as the longest");
        var matchLevel = Quantities.Switch("--match-level", "give each take its source's level");
        var keepPolarity = Quantities.Switch("--keep-polarity", "do not turn over what came back turned over");
        var keepChannels = Quantities.Switch("--keep-channels", "do not put swapped channels right");
        var keepDelay = Quantities.Switch("--keep-delay", "do not undo the delay of one channel against the other");
        var channels = Quantities.Text("--channels", "3,4", "which channels of each capture to hear; all unless told");
        var with = Quantities.Texts("--with", "FILE...", "further mono files of the same recording as the one capture");
        var rate = Quantities.Whole(
            "--rate",
            "HZ",
            "sample rate of the takes; the source's unless told",
            SampleRate.LowestHz,
            SampleRate.HighestHz
        );
        var depth = Quantities.Choice("--depth", "sample format; 32f unless told", "16", "24", "32f");
        var suffix = Quantities.Text("--suffix", "TEXT", "put behind the source's name; -tape unless told");
        var speedReach = Quantities.Number(
            "--speed-reach",
            "PERCENT",
            $"how far the speed may be off where no slate tells it; {DefaultReachPercent} unless told",
            0,
            60
        );
        var studio = StudioInUse.Option();
        var command = new Command("return", "Finds every sound in what came back, and writes it at its place.")
        {
            captures,
            pass,
            source,
            to,
            retime,
            corner,
            flattenRides,
            asPrinted,
            tail,
            head,
            sameLength,
            matchLevel,
            keepPolarity,
            keepChannels,
            keepDelay,
            channels,
            with,
            rate,
            depth,
            suffix,
            speedReach,
            studio,
        };
        return new Verb(
            command,
            "offtape return capture.wav --pass pass1 --to takes --retime fit,shift",
            (parsed, desk, cancellation) =>
            {
                var (passes, sources) = (parsed.GetValue(pass) ?? [], parsed.GetValue(source) ?? []);
                if (passes.Length == 0 && sources.Length == 0)
                    throw Fault.Usage(
                        "return needs --pass or --source",
                        "Name the folder that send wrote with --pass, or the clean sounds with --source."
                    );
                var request = new ReturnRequest
                {
                    Captures = parsed.GetValue(captures)!,
                    Passes = passes,
                    Sources = sources,
                    TargetFolder =
                        parsed.GetValue(to) ?? throw Fault.Usage("return needs --to DIR", "It names the folder that receives the takes."),
                    Retimings = Retimings(parsed.GetValue(retime)),
                    CornerHz = parsed.GetValue(corner) ?? DefaultCornerHz,
                    FlattenRides = parsed.GetValue(flattenRides),
                    AsPrinted = parsed.GetValue(asPrinted),
                    TailSeconds = Math.Max(0, parsed.GetValue(tail) ?? 0),
                    HeadSeconds = Math.Max(0, parsed.GetValue(head) ?? 0),
                    SameLength = parsed.GetValue(sameLength),
                    MatchLevel = parsed.GetValue(matchLevel),
                    KeepPolarity = parsed.GetValue(keepPolarity),
                    KeepChannels = parsed.GetValue(keepChannels),
                    KeepDelay = parsed.GetValue(keepDelay),
                    Channels = ChannelNumbers(parsed.GetValue(channels)),
                    With = parsed.GetValue(with) ?? [],
                    SampleRateHz = parsed.GetValue(rate),
                    Encoding = parsed.GetValue(depth) switch
                    {
                        "16" => SampleEncoding.Pcm16,
                        "24" => SampleEncoding.Pcm24,
                        "32f" => SampleEncoding.Float32,
                        _ => null,
                    },
                    Suffix = parsed.GetValue(suffix) ?? "-tape",
                    SpeedReach = (parsed.GetValue(speedReach) ?? DefaultReachPercent) / 100,
                    MadeAt = DateTime.UtcNow,
                    Force = desk.Force,
                };
                return Run(request, StudioInUse.Folder(parsed, studio), desk, cancellation);
            }
        );
    }

    internal static ExitCode Run(ReturnRequest request, string? studio, Desk desk, CancellationToken cancellation)
    {
        var result = ReturnJob.Run(request, desk.Progress.Begin(), cancellation);
        StudioInUse.Note(studio, desk, log => log.Return(result.SheetPath, request.Passes, Environment.CurrentDirectory));
        foreach (var warning in result.Sheet.Warnings)
            desk.Tell(new Notice(warning.Code, warning.Text));
        desk.Result(result.Sheet.ToJson(), sheet => ReturnWords.Say(result, request, sheet));
        return result.ExitCode;
    }

    internal static IReadOnlyList<Retiming> Retimings(string? text) =>
        text is null
            ? [Retiming.Steady]
            :
            [
                .. text.Split(',')
                    .Select(t =>
                        t.Trim().ToLowerInvariant() switch
                        {
                            "shift" => Retiming.Shift,
                            "fit" => Retiming.Fit,
                            "steady" => Retiming.Steady,
                            "lock" => Retiming.Lock,
                            _ => throw Fault.Usage($"--retime is steady, shift, fit or lock, or several with commas, not \"{t}\""),
                        }
                    ),
            ];

    private static IReadOnlyList<int> ChannelNumbers(string? text) =>
        text is null
            ? []
            :
            [
                .. text.Split(',')
                    .Select(t =>
                        int.TryParse(t, out var channel) && channel is >= 1 and <= 64
                            ? channel
                            : throw Fault.Usage($"--channels takes channel numbers from 1, as 3,4, not \"{text}\"")
                    ),
            ];
}
