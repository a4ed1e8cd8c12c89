using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Studio;

/// <summary>Joins an interface with its machines, there and back.</summary>
internal static class PatchPlanVerb
{
    public static Verb Create()
    {
        var rig = new Argument<string>("RIG")
        {
            Description = "file that says what is to be joined: interface, machines, drawer (docs/kit-and-patch.md)",
        };
        var to = Quantities.Text("--to", "DIR", "folder that receives the printed page, patch.svg and patch.pdf");
        var onlyDrawer = Quantities.Switch("--only-drawer", "use only what lies in the drawer; nothing is bought");
        var title = Quantities.Text("--title", "TEXT", "what stands over the page; the name of the file unless told");
        var command = new Command("plan", "Says what plugs into what, there and back, cable by cable.") { rig, to, onlyDrawer, title };
        return new Verb(
            command,
            "offtape patch plan rig.json --to patch",
            (parsed, desk, _) => Run(parsed.GetValue(rig)!, parsed.GetValue(to), parsed.GetValue(onlyDrawer), parsed.GetValue(title), desk)
        );
    }

    private static ExitCode Run(string path, string? folder, bool onlyDrawer, string? title, Desk desk)
    {
        var plan = PatchPlanner.Plan(RigFile.Read(path), onlyDrawer);
        var files = folder is null
            ? []
            : StudioSheets.Write(PatchSheet.Of(plan, title ?? $"Patch: {Path.GetFileNameWithoutExtension(path)}"), folder, "patch", desk);
        desk.Result(PatchAnswer.From(plan, files), CliJsonContext.Default.PatchAnswer, sheet => Say(plan, files, sheet));
        return plan.IsWhole ? ExitCode.Done : ExitCode.Incomplete;
    }

    private static void Say(PatchPlan plan, IReadOnlyList<string> files, Sheet sheet)
    {
        if (plan.Wiring.Pieces.Count > 0)
        {
            sheet.Table([">no.", "piece", "from", "to", ""], plan.Wiring.Pieces.Select(p => Row(plan, p)));
            sheet.Line();
            sheet.Table(
                ["channel", "through", ">level"],
                plan.Lanes.Select(l => (string[])[l.Words, string.Join(" + ", l.Pieces), $"{Words.Signed(l.MismatchDb, 1)} dB"])
            );
            sheet.Line();
            sheet.Paragraph("level: how much the input gets over what it wants.");
        }
        foreach (var item in plan.Shopping)
            sheet.Paragraph(
                $"To buy: {item.Count} × {item.Type.Words} ({item.Type.Id}){(item.PriceEach is { } price ? $", {price:0.00} each" : "")}.",
                "  "
            );
        PatchWords.Say(plan.Hazards, sheet);
        if (files.Count > 0)
            sheet.Line().Line($"Wrote {Words.List(files)}.");
    }

    private static string[] Row(PatchPlan plan, PatchPiece piece)
    {
        var ends = piece.Type.Ends.Select((_, e) => Other(plan, PatchPoint.Of(piece, e))).ToArray();
        var half = piece.Type.Ends.Count == 2 ? 1 : ends.Length / 2;
        return
        [
            $"{piece.Number}",
            piece.Type.Words,
            string.Join(", ", ends[..half]),
            string.Join(", ", ends[half..]),
            piece.IsInDrawer ? "drawer" : "to buy",
        ];
    }

    private static string Other(PatchPlan plan, PatchPoint point)
    {
        var join = plan.Wiring.Joins.FirstOrDefault(j => j.A == point || j.B == point);
        if (join is null)
            return "hangs free";
        var other = join.A == point ? join.B : join.A;
        return other.IsOnDevice ? $"{other.Device} {other.Socket}" : $"no. {other.Piece}";
    }
}
