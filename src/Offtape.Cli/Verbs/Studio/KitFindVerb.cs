using System.CommandLine;
using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Studio;

/// <summary>Finds what to buy for the money there is.</summary>
internal static class KitFindVerb
{
    private const int UsualBest = 3;
    private const int MostBaskets = 50;

    // More of them are counted, not listed: the JSON has all.
    private const int MostRejections = 8;

    public static Verb Create()
    {
        var request = new Argument<string>("REQUEST")
        {
            Description = "file that says what you have, want and can pay (docs/kit-and-patch.md)",
        };
        var offers = Quantities.Texts("--offers", "FILE...", "tables of offers, CSV or JSON");
        offers.Arity = ArgumentArity.ZeroOrMore;
        var offer = Quantities.Texts(
            "--offer",
            "TEXT",
            "one more offer, typed: \"title=deck; kind=cassette-deck; sockets=line-in:rca:2+line-out:rca:2; price=50\""
        );
        offer.Arity = ArgumentArity.ZeroOrMore;
        var best = Quantities.Whole("--best", "N", $"how many baskets to show; {UsualBest} unless told", 1, MostBaskets);
        var to = Quantities.Text("--to", "DIR", "folder that receives baskets.csv and the page of the first basket's patch");
        var command = new Command("find", "Finds the machine, leads and tape that work together for the money there is.")
        {
            request,
            offers,
            offer,
            best,
            to,
        };
        return new Verb(
            command,
            "offtape kit find request.json --offers offers.csv --best 3 --to kit",
            (parsed, desk, cancellation) =>
                Run(
                    parsed.GetValue(request)!,
                    parsed.GetValue(offers) ?? [],
                    parsed.GetValue(offer) ?? [],
                    parsed.GetValue(best) ?? UsualBest,
                    parsed.GetValue(to),
                    desk,
                    cancellation
                )
        );
    }

    private static ExitCode Run(
        string path,
        string[] files,
        string[] typed,
        int best,
        string? folder,
        Desk desk,
        CancellationToken cancellation
    )
    {
        if (files.Length + typed.Length == 0)
            throw Fault.Usage("kit find needs --offers FILE or --offer TEXT", "offtape kit template writes a table to begin with.");
        var request = KitRequestFile.Read(path);
        var offers = OfferFiles.Read(files, typed, request.Parts, desk);
        var found = KitSearch.Find(request, offers, best, cancellation);
        var written = folder is null ? [] : Write(request, found, folder, desk);
        var answer = new KitAnswer(
            found.MachineCount,
            [.. found.Baskets.Select((b, i) => BasketRow.From(b, i + 1, request.CleaningPerHour))],
            found.OutOfReach is { } far ? BasketRow.From(far, 0, request.CleaningPerHour) : null,
            request.Money,
            request.Currency,
            [.. found.Rejections.Select(r => new RejectionRow(r.Offer.Row, r.Offer.Title, r.Reason))],
            written
        );
        desk.Result(answer, CliJsonContext.Default.KitAnswer, sheet => Say(request, found, written, sheet));
        return found.Baskets.Count > 0 ? ExitCode.Done : ExitCode.Incomplete;
    }

    private static IReadOnlyList<string> Write(KitRequest request, KitResult found, string folder, Desk desk)
    {
        StudioSheets.MakeFolder(folder);
        var table = Path.Combine(folder, "baskets.csv");
        SafeFile.WriteText(table, Table(found), desk.Force);
        if (found.Baskets.Count == 0)
            return [table];
        var first = found.Baskets[0];
        var rig = new Rig
        {
            Interface = request.Interface,
            Machines =
            [
                new StudioDevice(KindWords.Of(first.Machine.Kind).Replace('-', ' '), first.Machine.Ports)
                {
                    HasSafetyEarth = first.Machine.Features.HasSafetyEarth,
                },
            ],
            Drawer = Bought(request, first),
            Parts = request.Parts,
        };
        return
        [
            table,
            .. StudioSheets.Write(
                PatchSheet.Of(PatchPlanner.Plan(rig, onlyDrawer: true), $"Patch: {first.Machine.Title}"),
                folder,
                "patch",
                desk
            ),
        ];
    }

    // The drawer as it is after buying.
    private static Dictionary<string, int> Bought(KitRequest request, Basket basket)
    {
        var drawer = new Dictionary<string, int>(request.Drawer);
        foreach (var (offer, count) in basket.Lines)
            if (offer.Part is { } part)
                drawer[part.Id] = drawer.GetValueOrDefault(part.Id) + count;
        return drawer;
    }

    private static string Table(KitResult found)
    {
        var text = CsvWriting.Row("basket", "row", "title", "what", "count", "price_each", "shipping", "sum");
        for (var i = 0; i < found.Baskets.Count; i++)
        {
            foreach (var line in found.Baskets[i].Lines.Prepend((found.Baskets[i].Machine, 1)).Select(BasketLine.From))
                text += CsvWriting.Row(i + 1, line.Row, line.Title, line.Kind, line.Count, line.PriceEach, line.Shipping, line.Sum);
            if (found.Baskets[i].Repairs > 0)
                text += CsvWriting.Row(i + 1, "", "put by for repairs", "", "", "", "", found.Baskets[i].Repairs);
        }
        return text;
    }

    private static void Say(KitRequest request, KitResult found, IReadOnlyList<string> written, Sheet sheet)
    {
        sheet.Paragraph(
            found.Baskets.Count > 0
                ? $"{Words.Count(found.MachineCount, "machine")} looked at; {(found.Baskets.Count == 1 ? "one basket" : $"the best {found.Baskets.Count} baskets")} for {Money(request.Money, request)}:"
                : $"{Words.Count(found.MachineCount, "machine")} looked at, and none makes a basket for {Money(request.Money, request)}."
        );
        for (var i = 0; i < found.Baskets.Count; i++)
            Basket(request, found.Baskets[i], $"{i + 1}.", sheet);
        if (found.OutOfReach is { } far)
            sheet
                .Line()
                .Paragraph(
                    $"Out of reach by {Money(far.Total - request.Money, request)}: {far.Machine.Title}, {Money(far.Total, request)} in all, score {far.Score}."
                );
        if (found.Rejections.Count > 0)
            sheet.Line().Line("In no basket:");
        foreach (var rejection in found.Rejections.Take(MostRejections))
            sheet.Paragraph($"{rejection.Offer.Title}: {rejection.Reason}.", "  ");
        if (found.Rejections.Count > MostRejections)
            sheet.Line($"  and {found.Rejections.Count - MostRejections} more; --json has them all.");
        if (written.Count > 0)
            sheet.Line().Line($"Wrote {Words.List(written)}.");
    }

    private static void Basket(KitRequest request, Basket basket, string number, Sheet sheet)
    {
        sheet.Line().Line(sheet.Ink.Strong($"{number} {basket.Machine.Title}: {Money(basket.Total, request)}"));
        sheet.Line();
        string[][] rows =
        [
            .. basket
                .Lines.Prepend((basket.Machine, 1))
                .Select(l => (string[])[$"{l.Item2} ×", l.Item1.Title, $"{l.Item1.Cost(l.Item2):0.00}"]),
            .. basket.Repairs > 0
                ?
                [
                    ["", "put by for repairs", $"{basket.Repairs:0.00}"],
                ]
                : Array.Empty<string[]>(),
        ];
        sheet.Table([">", "with shipping", $">{(request.Currency.Length > 0 ? request.Currency : "sum")}"], rows);
        var drawer = basket
            .Wiring.Pieces.Where(p => p.IsInDrawer)
            .GroupBy(p => p.Type)
            .Select(g => $"{g.Count()} × {g.Key.Words}")
            .ToArray();
        if (drawer.Length > 0)
            sheet.Paragraph($"From the drawer: {Words.List(drawer)}.", "  ");
        sheet.Paragraph(basket.Why, "  ");
        sheet.Paragraph(basket.Lift, "  ");
        foreach (var text in basket.CannotDo)
            sheet.Paragraph(text, "  ");
        foreach (var (speed, perMinute) in basket.TapePerMinute)
            sheet.Paragraph(
                $"Tape costs {perMinute:0.000} a minute at {Figures.Plain(speed, 2)} cm/s{(request.CleaningPerHour is { } hour ? $", cleaning {hour / 60:0.000}" : "")}.",
                "  "
            );
        foreach (var caution in basket.Cautions)
            sheet.Paragraph(caution, "  ", sheet.Ink.Warn);
    }

    private static string Money(decimal sum, KitRequest request) =>
        request.Currency.Length > 0 ? $"{sum:0.00} {request.Currency}" : $"{sum:0.00}";
}
