using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Passes;

namespace Offtape.Cli.Verbs;

/// <summary>Makes what is played to the machine.</summary>
internal static class SendVerb
{
    public static Verb Create()
    {
        var sources = SoundArguments.Many("SOURCE", "clean audio files, or folders of them, in the order they are to stand on the tape");
        var to = Quantities.Text("--to", "DIR", "folder that receives send.wav and pass.json");
        var rate = Quantities.Whole(
            "--rate",
            "HZ",
            "sample rate of the send; the sources' own unless told",
            SampleRate.LowestHz,
            SampleRate.HighestHz
        );
        var depth = Quantities.Choice("--depth", "sample format; 24 unless told", "16", "24", "32f");
        var level = Quantities.Number(
            "--level",
            "DBFS",
            $"peak of the loudest source; {Figures.Plain(SendRequest.DefaultLevelDbfs)} unless told",
            -90,
            0.000_001
        );
        var levelEach = Quantities.Switch("--level-each", "bring every source to that peak; without it one gain keeps their balance");
        var lead = Quantities.Number(
            "--lead",
            "SECONDS",
            $"before the first source; {SendRequest.DefaultLeadSeconds} unless told",
            -1e-9,
            3600
        );
        var gap = Quantities.Number("--gap", "SECONDS", $"between sources; {SendRequest.DefaultGapSeconds} unless told", -1e-9, 3600);
        var slate = Quantities.Choice("--slate", "markers by which a return is found; on unless told", "on", "off");
        var layout = Quantities.Choice(
            "--layout",
            "one after another, or together on their own tracks; serial unless told",
            "serial",
            "parallel"
        );
        var tracks = Quantities.Text("--tracks", "1=bass.wav,2-3=kit.wav", "which source goes to which tracks");
        var stripe = Quantities.Text("--stripe", "none|N", "track that carries a sync signal; none unless told");
        var lineUp = Quantities.Switch("--line-up", "begin with a steady tone for setting levels");
        var speed = Quantities.Speed("--speed", "tape speed, in cm/s or as 7.5ips");
        var printRatio = Quantities.Number("--print-ratio", "RATIO", "send duration ÷ source duration: 2 prints at half speed", 0, 100);
        var reverse = Quantities.Switch("--reverse", "write each source backwards");
        var side = Quantities.Number(
            "--side",
            "MINUTES",
            "playing time of one side: what does not fit is told, with a split into sides",
            0,
            10_000
        );
        var run = new RunOptions();
        var studio = StudioInUse.Option();
        var command = new Command("send", "Makes what is played to the machine, and the sheet that says what stands where.")
        {
            sources,
            to,
            rate,
            depth,
            level,
            levelEach,
            lead,
            gap,
            slate,
            layout,
            tracks,
            stripe,
            lineUp,
            speed,
            printRatio,
            reverse,
            side,
            studio,
        };
        foreach (var option in run.All)
            command.Options.Add(option);
        return new Verb(
            command,
            "offtape send sounds/ --to pass1 --speed 19.05 --side 30",
            (parsed, desk, cancellation) =>
            {
                var request = new SendRequest
                {
                    Sources = parsed.GetValue(sources)!,
                    TargetFolder =
                        parsed.GetValue(to)
                        ?? throw Fault.Usage("send needs --to DIR", "It names the folder that receives send.wav and pass.json."),
                    SampleRateHz = parsed.GetValue(rate),
                    Depth = parsed.GetValue(depth) switch
                    {
                        "16" => SendDepth.Pcm16,
                        "32f" => SendDepth.Float32,
                        _ => SendDepth.Pcm24,
                    },
                    LevelDbfs = Math.Min(0, parsed.GetValue(level) ?? SendRequest.DefaultLevelDbfs),
                    LevelEach = parsed.GetValue(levelEach),
                    LeadSeconds = Math.Max(0, parsed.GetValue(lead) ?? SendRequest.DefaultLeadSeconds),
                    GapSeconds = Math.Max(0, parsed.GetValue(gap) ?? SendRequest.DefaultGapSeconds),
                    Slates = parsed.GetValue(slate) is not "off",
                    Layout = parsed.GetValue(layout) is "parallel" ? SendLayout.Parallel : SendLayout.Serial,
                    Tracks = parsed.GetValue(tracks) is { } text ? TrackAssignment.ParseList(text) : [],
                    StripeTrack = StripeTrack(parsed.GetValue(stripe)),
                    LineUp = parsed.GetValue(lineUp),
                    SpeedCmPerSecond = parsed.GetValue(speed),
                    PrintRatio = parsed.GetValue(printRatio) ?? 1,
                    Reversed = parsed.GetValue(reverse),
                    SideMinutes = parsed.GetValue(side),
                    Run = run.Read(parsed),
                    MadeAt = DateTime.UtcNow,
                    Force = desk.Force,
                };
                return Run(request, StudioInUse.Folder(parsed, studio), desk, cancellation);
            }
        );
    }

    internal static ExitCode Run(SendRequest request, string? studio, Desk desk, CancellationToken cancellation)
    {
        var result = SendJob.Run(request, desk.Progress.Begin(), cancellation);
        foreach (var notice in result.Notices)
            desk.Tell(notice);
        var noted = result.Written ? StudioInUse.Note(studio, desk, log => log.Send(result.SheetPath!)) : null;
        var answer = SendAnswer.From(result) with { Studio = noted };
        desk.Result(answer, CliJsonContext.Default.SendAnswer, sheet => Say(result, sheet));
        return result.ExitCode;
    }

    private static int? StripeTrack(string? text) =>
        text switch
        {
            null or "none" => null,
            _ when int.TryParse(text, out var track) && track is >= 1 and <= SendJob.MostTracks => track,
            _ => throw Fault.Usage($"--stripe is none or a track from 1 to {SendJob.MostTracks}, not \"{text}\""),
        };

    private static void Say(SendResult result, Sheet sheet)
    {
        var pass = result.Sheet;
        if (!result.Written)
        {
            SayHowToSplit(result.Side, sheet);
            return;
        }
        sheet.Table(
            [">at", "source", ">length", ">gain", "tracks"],
            pass.Items.Select(i =>
                (string[])
                    [
                        Words.Clock(i.StartSeconds),
                        i.Source,
                        Words.Clock(i.SendLengthSeconds),
                        Words.Signed(i.GainDb, 1) + " dB",
                        string.Join(", ", i.Tracks),
                    ]
            )
        );
        sheet.Line();
        // The send alone is not what the tape has to hold: there is blank tape at both ends of it.
        var metres = result.Side.TapeMetres is { } length ? $", {Words.Number(length, 1)} m" : "";
        sheet.Paragraph(
            $"{Words.Count(pass.Items.Count, "source")} in a send of {Words.Duration(pass.LengthSeconds)}; with blank tape at both ends the "
                + $"pass needs {Words.Duration(result.Side.NeededSeconds)}{metres}. Wrote {result.SendPath} and {result.SheetPath}."
        );
        sheet.Line().Line("The run:");
        foreach (var step in result.Steps)
        {
            sheet.Paragraph(step.Text, $"  {step.Number, 2}. ");
            if (step.Caution is { } caution)
                sheet.Paragraph(caution, "      ", sheet.Ink.Warn);
        }
    }

    private static void SayHowToSplit(SidePlan side, Sheet sheet)
    {
        if (side.Sides.Count > 0)
            sheet.Line("Split it, and send each side by itself:");
        foreach (var part in side.Sides)
            sheet.Line($"  side {part.Number}: {Words.List(part.Sources)} ({Words.Duration(part.NeededSeconds)})");
    }
}

/// <summary>The JSON of <c>send</c>: where the files are, the run, whether it fits, and the sheet's own items in short.</summary>
internal sealed record SendAnswer(
    bool Written,
    string? SendFile,
    string? SheetFile,
    string PassId,
    int SampleRateHz,
    int ChannelCount,
    double LengthSeconds,
    IReadOnlyList<SendAnswerItem> Items,
    SidePlan Side,
    IReadOnlyList<RunStep> Steps,
    IReadOnlyList<Notice> Warnings
)
{
    /// <summary>The studio whose log has it; null: none.</summary>
    public string? Studio { get; init; }

    public static SendAnswer From(SendResult result) =>
        new(
            result.Written,
            result.SendPath,
            result.SheetPath,
            result.Sheet.PassId,
            result.Sheet.SampleRateHz,
            result.Sheet.ChannelCount,
            result.Sheet.LengthSeconds,
            [.. result.Sheet.Items.Select(i => new SendAnswerItem(i.Source, i.StartSeconds, i.LengthSeconds, i.GainDb, i.Tracks))],
            result.Side,
            result.Steps,
            result.Notices
        );
}

/// <summary>One source of a send; the fields of pass.json of the same names.</summary>
internal sealed record SendAnswerItem(string Source, double StartSeconds, double LengthSeconds, double GainDb, IReadOnlyList<int> Tracks);
