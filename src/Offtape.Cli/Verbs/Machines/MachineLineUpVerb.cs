using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Machines;

/// <summary>Notes how a machine was lined up, or shows how it was.</summary>
internal static class MachineLineUpVerb
{
    public static Verb Create()
    {
        var send = Quantities.Number(
            "--send-zero",
            "DBFS",
            "what the interface plays while the machine's meter stands at its zero",
            LineUp.LeastDbfs,
            LineUp.MostDbfs
        );
        var back = Quantities.Number("--return-zero", "DBFS", "what comes back into the interface then", LineUp.LeastDbfs, LineUp.MostDbfs);
        var trim = Quantities.Number("--trim", "DB", "what the interface's trim was turned by", -LineUp.MostTrimDb, LineUp.MostTrimDb);
        var speed = Quantities.Speed("--speed", "tape speed, in cm/s or as 7.5ips");
        var tapeType = Quantities.Text("--tape-type", "TEXT", "what the machine was set to: I, II, IV, or words");
        return MachineNoteVerb.Create(
            "line-up",
            "Notes how a machine was lined up; without figures shows how it was.",
            "offtape machine line-up deck --send-zero -12 --return-zero -14.5 --trim 2.5",
            [send, back, trim, speed, tapeType],
            (parsed, note) =>
            {
                var lineUp = new LineUp
                {
                    At = note.At,
                    SendDbfsAtZero = parsed.GetValue(send),
                    ReturnDbfsAtZero = parsed.GetValue(back),
                    TrimDb = parsed.GetValue(trim),
                    SpeedCmPerSecond = parsed.GetValue(speed),
                    TapeType = parsed.GetValue(tapeType),
                    Note = note.Text,
                };
                if ((lineUp.SendDbfsAtZero ?? lineUp.ReturnDbfsAtZero ?? lineUp.TrimDb) is not null)
                    note.Book.AddLineUp(note.Machine, lineUp);
            },
            view => view.LineUps,
            CliJsonContext.Default.IReadOnlyListLineUp,
            Say
        );
    }

    private static void Say(MachineView view, Sheet sheet)
    {
        if (view.LineUps.Count > 0)
            MachineWords.LineUps(view.LineUps, sheet);
        else
            sheet.Paragraph(
                $"{view.Machine.Name} has no line-up yet. Play the tone of offtape bench line-up, headphones off, and note it with --send-zero and --return-zero."
            );
    }
}
