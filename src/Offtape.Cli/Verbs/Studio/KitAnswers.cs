using Offtape.Studio;

namespace Offtape.Cli.Verbs.Studio;

/// <summary>A line of a basket in JSON.</summary>
internal sealed record BasketLine(int Row, string Title, string Kind, int Count, decimal PriceEach, decimal Shipping, decimal Sum)
{
    public static BasketLine From((Offer Offer, int Count) line) =>
        new(
            line.Offer.Row,
            line.Offer.Title,
            line.Offer.Part?.Id ?? KindWords.Of(line.Offer.Kind),
            line.Count,
            line.Offer.Price,
            line.Offer.Shipping,
            line.Offer.Cost(line.Count)
        );
}

/// <summary>What a minute of tape costs at a speed, in JSON.</summary>
internal sealed record TapeCostRow(double SpeedCmPerSecond, decimal PerMinute);

/// <summary>A basket in JSON.</summary>
internal sealed record BasketRow(
    int Rank,
    BasketLine Machine,
    IReadOnlyList<BasketLine> Lines,
    decimal Repairs,
    decimal Total,
    int Score,
    int Channels,
    IReadOnlyList<string> Met,
    IReadOnlyList<string> CannotDo,
    string Why,
    string Lift,
    IReadOnlyList<TapeCostRow> TapePerMinute,
    decimal? CleaningPerMinute,
    IReadOnlyList<string> Cautions,
    IReadOnlyList<PieceRow> Pieces,
    IReadOnlyList<HazardRow> Hazards
)
{
    public static BasketRow From(Basket basket, int rank, decimal? cleaningPerHour) =>
        new(
            rank,
            BasketLine.From((basket.Machine, 1)),
            [.. basket.Lines.Select(BasketLine.From)],
            basket.Repairs,
            basket.Total,
            basket.Score,
            basket.Channels,
            [.. basket.Met.Select(w => w.Text)],
            basket.CannotDo,
            basket.Why,
            basket.Lift,
            [.. basket.TapePerMinute.Select(t => new TapeCostRow(t.SpeedCmPerSecond, Math.Round(t.PerMinute, 4)))],
            cleaningPerHour is { } hour ? Math.Round(hour / 60, 4) : null,
            basket.Cautions,
            [.. basket.Wiring.Pieces.Select(p => new PieceRow(p.Number, p.Type.Id, p.Type.Words, p.IsInDrawer))],
            [.. basket.Hazards.Select(HazardRow.From)]
        );
}

/// <summary>A machine that is in no basket, in JSON.</summary>
internal sealed record RejectionRow(int Row, string Title, string Reason);

/// <summary>The answer of <c>kit find</c>.</summary>
internal sealed record KitAnswer(
    int MachineCount,
    IReadOnlyList<BasketRow> Baskets,
    BasketRow? OutOfReach,
    decimal Money,
    string Currency,
    IReadOnlyList<RejectionRow> Rejections,
    IReadOnlyList<string> Files
);

/// <summary>What <c>kit template</c> and <c>kit view</c> wrote.</summary>
internal sealed record KitFilesAnswer(IReadOnlyList<string> Files);

/// <summary>Kinds of offers as files write them.</summary>
internal static class KindWords
{
    public static string Of(OfferKind kind) =>
        kind switch
        {
            OfferKind.CassetteDeck => "cassette-deck",
            OfferKind.CassetteMultitrack => "cassette-multitrack",
            OfferKind.Reel => "reel",
            OfferKind.Portable => "portable",
            OfferKind.Part => "part",
            OfferKind.Tape => "tape",
            _ => "mains-transformer",
        };
}
