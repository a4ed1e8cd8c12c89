using Offtape.Studio;

namespace Offtape.Cli.Verbs.Studio;

/// <summary>A hazard in JSON.</summary>
internal sealed record HazardRow(string Code, string Severity, string Where, string Reason, string Advice)
{
    public static HazardRow From(Hazard hazard) =>
        new(hazard.Code, hazard.Severity.ToString().ToLowerInvariant(), hazard.Where, hazard.Reason, hazard.Advice);
}

/// <summary>A channel that is joined, in JSON.</summary>
internal sealed record ChannelRow(
    string From,
    string FromSocket,
    string To,
    string ToSocket,
    IReadOnlyList<int> Pieces,
    double AttenuationDb,
    double LevelOverWantedDb
)
{
    public static ChannelRow Of(JoinedLane lane) =>
        new(
            lane.SourceDevice.Name,
            lane.SourceSocket.Name,
            lane.SinkDevice.Name,
            lane.SinkSocket.Name,
            lane.Pieces,
            lane.Facts.AttenuationDb,
            Math.Round(lane.MismatchDb, 2)
        );
}

/// <summary>A piece of a patch in JSON.</summary>
internal sealed record PieceRow(int Number, string Part, string Words, bool IsInDrawer);

/// <summary>A plug in a socket in JSON: <c>deck: line in 1</c>, <c>piece 2: left</c>.</summary>
internal sealed record JoinRow(string A, string B)
{
    public static JoinRow From(PatchJoin join) => new(Words(join.A), Words(join.B));

    private static string Words(PatchPoint point) =>
        point.IsOnDevice ? $"{point.Device}: {point.Socket}" : $"piece {point.Piece}: {point.Socket}";
}

/// <summary>A part to be bought in JSON.</summary>
internal sealed record ShoppingRow(string Part, string Words, int Count, decimal? PriceEach);

/// <summary>The answer of <c>patch plan</c>.</summary>
internal sealed record PatchAnswer(
    bool IsWhole,
    IReadOnlyList<PieceRow> Pieces,
    IReadOnlyList<JoinRow> Joins,
    IReadOnlyList<ChannelRow> Channels,
    IReadOnlyList<ShoppingRow> Shopping,
    IReadOnlyList<string> SwitchingOn,
    IReadOnlyList<HazardRow> Hazards,
    IReadOnlyList<string> Files
)
{
    public static PatchAnswer From(PatchPlan plan, IReadOnlyList<string> files) =>
        new(
            plan.IsWhole,
            [.. plan.Wiring.Pieces.Select(p => new PieceRow(p.Number, p.Type.Id, p.Type.Words, p.IsInDrawer))],
            [.. plan.Wiring.Joins.Select(JoinRow.From)],
            [.. plan.Lanes.Select(ChannelRow.Of)],
            [.. plan.Shopping.Select(s => new ShoppingRow(s.Type.Id, s.Type.Words, s.Count, s.PriceEach))],
            plan.SwitchingOn,
            [.. plan.Hazards.Select(HazardRow.From)],
            files
        );
}

/// <summary>The answer of <c>patch check</c>.</summary>
internal sealed record PatchCheckAnswer(bool IsFine, IReadOnlyList<ChannelRow> Channels, IReadOnlyList<HazardRow> Hazards);

/// <summary>A part in the list of <c>patch parts</c>.</summary>
internal sealed record PartRow(string Part, string Words, string Kind, IReadOnlyList<string> Ends, double AttenuationDb);
