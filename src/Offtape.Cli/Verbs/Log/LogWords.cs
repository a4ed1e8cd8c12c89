using Offtape.Base;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Log;

/// <summary>Passes of the log in words.</summary>
internal static class LogWords
{
    public const string NotSaid = "–";

    public static void Table(IReadOnlyList<LoggedPass> passes, Sheet sheet) =>
        sheet.Table(
            ["day", "pass", "machine", "tape", ">cm/s", ">length", "sounds"],
            passes.Select(p =>
                (string[])
                    [
                        Day(p.At),
                        p.PassId,
                        p.Machine ?? NotSaid,
                        Tape(p) ?? NotSaid,
                        p.SpeedCmPerSecond is { } speed ? Figures.Plain(speed, 2) : NotSaid,
                        Words.Duration(p.LengthSeconds),
                        Short(p.Sources),
                    ]
            )
        );

    /// <summary>One pass in full, for the machine to be set as it was.</summary>
    public static void Full(LoggedPass pass, Sheet sheet)
    {
        sheet.Paragraph(
            $"Pass {pass.PassId}, {Day(pass.At)} {pass.At[11..16]} UTC. {Words.Count(pass.Sources.Count, "sound")}: {Words.List(pass.Sources)}."
        );
        sheet.Table(["", ""], Settings(pass).Select(s => (string[])[s.Name, s.Value]));
    }

    private static IEnumerable<(string Name, string Value)> Settings(LoggedPass pass)
    {
        yield return ("machine", pass.Machine ?? NotSaid);
        yield return ("tape", Tape(pass) ?? NotSaid);
        yield return ("starts at", Start(pass));
        yield return ("speed", pass.SpeedCmPerSecond is { } speed ? Figures.Speed(speed) : NotSaid);
        yield return ("pitch control", pass.PitchPercent is { } pitch ? $"{Figures.Signed(pitch)} %" : NotSaid);
        yield return ("input level", pass.InputLevel ?? NotSaid);
        yield return ("noise reduction", pass.NoiseReduction ?? NotSaid);
        yield return ("tape type", pass.TapeType ?? NotSaid);
        yield return ("peak of the send", $"{Figures.Plain(pass.LevelDbfs, 1)} dBFS");
        yield return ("printing ratio", Figures.Plain(pass.PrintRatio) + (pass.Reversed ? ", backwards" : ""));
        yield return ("length", Words.Duration(pass.LengthSeconds));
        yield return ("came back", pass.ReturnCount == 0 ? "not yet" : Words.Count(pass.ReturnCount, "time"));
        if (pass.Sheet is { } path)
            yield return ("sheet", path);
        if (pass.Note.Length > 0)
            yield return ("note", pass.Note);
    }

    public static string? Tape(LoggedPass pass) =>
        pass.Tape is null ? null
        : pass.TapeTracks.Count == 0 ? $"{pass.Tape}, side {pass.Side}"
        : $"{pass.Tape}, side {pass.Side}, track {string.Join(", ", pass.TapeTracks)}";

    public static string Day(string moment) => moment[..Math.Min(10, moment.Length)];

    private static string Start(LoggedPass pass) =>
        (pass.StartCounter, pass.StartSeconds) switch
        {
            (null, null) => NotSaid,
            ({ } counter, null) => $"counter {Figures.Plain(counter)}",
            (null, { } seconds) => Words.Clock(seconds),
            ({ } counter, { } seconds) => $"counter {Figures.Plain(counter)}, {Words.Clock(seconds)}",
        };

    private static string Short(IReadOnlyList<string> names) =>
        names.Count <= 3 ? string.Join(", ", names) : $"{string.Join(", ", names.Take(2))} and {names.Count - 2} more";
}
