using Offtape.Base;
using Offtape.Report;

namespace Offtape.Studio;

/// <summary>The patch as one printed page: diagram, table, shopping list, order of switching on, cautions.</summary>
public static class PatchSheet
{
    public static Sheet Of(PatchPlan plan, string title = "Patch", PaperSize? paper = null)
    {
        var sheet = Sheet.Create(title, paper).Lead(Lead(plan)).Footer("cable by cable, there and back");
        if (plan.Wiring.Joins.Count > 0)
            sheet = sheet.Add(new DiagramBlock(PatchDrawing.Of(plan.Rig, plan.Wiring, plan.Lanes)));
        var hazards = Hazards(plan);
        var refused = hazards.Where(h => h.Severity == Severity.Refuse).Select(Told).ToArray();
        if (refused.Length > 0)
            sheet = sheet.Add(refused);
        if (plan.Lanes.Count > 0)
            sheet = sheet.Table(Channels(plan));
        var left = new List<Block>();
        if (plan.Shopping.Count > 0)
            left.AddRange([new HeadingBlock(2, "To buy"), new TableBlock(Shopping(plan))]);
        if (plan.SwitchingOn.Count > 0)
            left.AddRange([new HeadingBlock(2, "Switching on"), new ChecklistBlock(plan.SwitchingOn)]);
        var warned = hazards.Where(h => h.Severity != Severity.Refuse).Select(Told).ToArray();
        return warned.Length == 0 ? sheet.Add([.. left]) : sheet.Add(new ColumnsBlock(left, [new HeadingBlock(2, "Look to"), .. warned]));
    }

    /// <summary>The patch as a drawing; null where nothing is joined.</summary>
    public static JoinDiagram? Drawing(PatchPlan plan) =>
        plan.Wiring.Joins.Count > 0 ? PatchDrawing.Of(plan.Rig, plan.Wiring, plan.Lanes) : null;

    /// <summary>In one sentence: how many channels, how many pieces, how many to buy.</summary>
    public static string Lead(PatchPlan plan)
    {
        var (there, back) = (
            plan.Lanes.Count(l => l.SourceDevice == plan.Rig.Interface),
            plan.Lanes.Count(l => l.SinkDevice == plan.Rig.Interface)
        );
        var bought = plan.Shopping.Sum(s => s.Count);
        var text = $"{Words.Count(there, "channel")} there and {back} back, with {Words.Count(plan.Wiring.Pieces.Count, "piece")}";
        return text + (bought == 0 ? "." : $"; {bought} of them to buy.");
    }

    /// <summary>Channel by channel; those that go the same way at the same level stand in one row.</summary>
    public static ReportTable Channels(PatchPlan plan)
    {
        var table = ReportTable
            .Create("level: how much the input gets over what it wants")
            .Words("from")
            .Words("to")
            .Words("through")
            .Figures("level");
        var ways = plan
            .Lanes.OrderBy(l => l.SinkDevice == plan.Rig.Interface)
            .ThenBy(l => l.Source.Channel)
            .GroupBy(l =>
                (
                    From: l.SourceDevice,
                    FromPort: PortOf(l.SourceDevice, l.SourceSocket),
                    To: l.SinkDevice,
                    ToPort: PortOf(l.SinkDevice, l.SinkSocket),
                    Level: Math.Round(l.MismatchDb, 1)
                )
            );
        foreach (var way in ways)
            table = table.Row(
                $"{way.Key.From.Name}: {Sockets([.. way.Select(l => (l.SourceSocket, l.Source))])}",
                $"{way.Key.To.Name}: {Sockets([.. way.Select(l => (l.SinkSocket, l.Sink))])}",
                string.Join(", ", way.Select(l => string.Join(" + ", l.Pieces)).Distinct()),
                new TableCell(
                    $"{Words.Signed(way.Key.Level, 1)} dB",
                    Math.Abs(way.Key.Level) > LaneRules.UnsaidDb ? InkRole.Warn : InkRole.Ink
                )
            );
        return table;
    }

    private static string PortOf(StudioDevice device, Socket socket) =>
        device.Ports.First(p => p.Sockets.Any(s => ReferenceEquals(s, socket))).Name;

    // "line out 1, 2"; of a socket with several channels the contacts: "tape din, pins 1, 4".
    private static string Sockets(IReadOnlyList<(Socket Socket, SocketLane Lane)> lanes)
    {
        var (socket, lane) = lanes[0];
        if (lanes.All(l => ReferenceEquals(l.Socket, socket)) && socket.Lanes.Count > 1)
            return socket.Shape.ContactDegrees.Count > 0
                ? $"{socket.Name}, {(lanes.Count > 1 ? "pins" : "pin")} {string.Join(", ", lanes.Select(l => l.Lane.Hot))}"
                : $"{socket.Name}, {string.Join(" and ", lanes.Select(l => l.Lane.Hot))}";
        return lanes.Count == 1
            ? socket.Name
            : $"{socket.Name}{string.Concat(lanes.Skip(1).Select(l => ", " + l.Socket.Name.Split(' ')[^1]))}";
    }

    /// <summary>What is to be bought.</summary>
    public static ReportTable Shopping(PatchPlan plan)
    {
        var hasPrices = plan.Shopping.Any(s => s.PriceEach is not null);
        var table = ReportTable.Create("").Words("part").Figures("pieces");
        if (hasPrices)
            table = table.Figures("each").Figures("sum");
        foreach (var item in plan.Shopping)
        {
            TableCell[] cells = [item.Type.Words, $"{item.Count}"];
            if (hasPrices)
                cells = [.. cells, Money(item.PriceEach), Money(item.PriceEach * item.Count)];
            table = table.Row(cells);
        }
        return table;
    }

    private static string Money(decimal? sum) => sum is { } s ? $"{s:0.00}" : "not known";

    /// <summary>All that hurts or has to be known, the worst first; what several channels have in common is said once.</summary>
    public static IReadOnlyList<Hazard> Hazards(PatchPlan plan) =>
        [
            .. plan
                .Hazards.GroupBy(h => (h.Severity, h.Code, h.Reason, h.Advice))
                .Select(g => g.First() with { Where = Where(plan, [.. g.Select(h => h.Where).Where(w => w.Length > 0).Distinct()]) }),
        ];

    private static string Where(PatchPlan plan, IReadOnlyList<string> places)
    {
        if (places.Count < 2)
            return string.Concat(places);
        var lanes = plan.Lanes.Where(l => places.Contains(l.Words)).ToArray();
        string[] ways = [.. lanes.Select(l => $"{l.SourceDevice.Name} to {l.SinkDevice.Name}").Distinct()];
        if (ways.Length > 1)
            ways =
            [
                .. lanes
                    .Select(l => string.Join(" and ", new[] { l.SourceDevice.Name, l.SinkDevice.Name }.Order(StringComparer.Ordinal)))
                    .Distinct(),
            ];
        return ways is [var way] ? $"{way}, {places.Count} channels" : $"{places[0]} and {places.Count - 1} more like it";
    }

    private static CautionBlock Told(Hazard hazard) =>
        new(
            hazard.Severity switch
            {
                Severity.Refuse => CautionKind.Bad,
                Severity.Warn => CautionKind.Warn,
                _ => CautionKind.Note,
            },
            hazard.Severity switch
            {
                Severity.Refuse => "Not like this",
                Severity.Warn => "Caution",
                _ => "Note",
            },
            $"{(hazard.Where.Length > 0 ? hazard.Where + ". " : "")}{hazard.Reason} {hazard.Advice}"
        );
}
