using System.Globalization;
using Offtape.Base;

namespace Offtape.Studio;

/// <summary>An offer out of its cells, each by the name of its column.</summary>
internal static class OfferCells
{
    private const int MostPieces = 10_000;

    /// <param name="row">Where it stands.</param>
    /// <param name="parts">The parts it may name.</param>
    /// <param name="cell">The text of a column; empty where there is none.</param>
    /// <param name="fault">What to throw for a cell that is not understood.</param>
    public static Offer Read(
        int row,
        IReadOnlyList<PartType> parts,
        Func<string, string> cell,
        Func<string, FormatException, Exception> fault
    )
    {
        var title = Get("title", t => t.Length > 0 ? t : throw new FormatException("there is no title"));
        var kind = Get("kind", Kind);
        var isMachine = kind is not (OfferKind.Part or OfferKind.Tape or OfferKind.MainsTransformer);
        var features = Get("features", FeatureWords.Parse);
        var offer = new Offer
        {
            Row = row,
            Title = title,
            Kind = kind,
            Features = isMachine ? features with { Format = features.Format ?? (kind == OfferKind.Reel ? "reel" : "cassette") } : features,
            Ports = Get("sockets", SocketWords.ParseAll),
            MainsVolts = Get("mains_voltage", t => t.Length == 0 ? [] : MainsWords.Volts(t)),
            MainsHertz = Get("mains_frequency", t => t.Length == 0 ? [] : MainsWords.Hertz(t)),
            Price = Get("price", t => t.Length == 0 ? throw new FormatException("there is no price") : MoneyWords.Parse(t)),
            Shipping = Get("shipping", t => t.Length == 0 ? 0 : MoneyWords.Parse(t)),
            Condition = Get("condition", Condition),
            Notes = cell("notes"),
            Part = Get("part", t => kind == OfferKind.Part ? Part(t, parts) : null),
            Count = Get("count", Count),
        };
        Get(
            "sockets",
            _ =>
                isMachine && offer.Ports.Count == 0
                    ? throw new FormatException("a machine needs its sockets, as line-in:rca:2; line-out:rca:2")
                    : 0
        );
        Get("features", _ => Complete(offer));
        return offer;

        T Get<T>(string column, Func<string, T> read)
        {
            try
            {
                return read(cell(column));
            }
            catch (FormatException error)
            {
                throw fault(column, error);
            }
        }
    }

    private static int Complete(Offer offer) =>
        offer.Kind switch
        {
            OfferKind.Tape when offer.Features.Format is null || offer.Features.LengthMetres is null => throw new FormatException(
                "a tape needs its format and its length: format=cassette minutes=90, or format=reel metres=549"
            ),
            OfferKind.MainsTransformer when offer.Features.FromVolts is null || offer.Features.ToVolts is null => throw new FormatException(
                "a mains transformer needs its voltages: from=230 to=115"
            ),
            _ => 0,
        };

    private static PartType Part(string text, IReadOnlyList<PartType> parts) =>
        parts.FirstOrDefault(p => string.Equals(p.Id, text.Trim(), StringComparison.OrdinalIgnoreCase))
        ?? throw new FormatException(
            text.Length == 0
                ? "a part needs its id; offtape patch parts lists them"
                : $"\"{text}\" is no part; offtape patch parts lists them"
        );

    private static OfferKind Kind(string text) =>
        text.ToLowerInvariant() switch
        {
            "cassette-deck" => OfferKind.CassetteDeck,
            "cassette-multitrack" => OfferKind.CassetteMultitrack,
            "reel" => OfferKind.Reel,
            "portable" => OfferKind.Portable,
            "part" => OfferKind.Part,
            "tape" => OfferKind.Tape,
            "mains-transformer" => OfferKind.MainsTransformer,
            _ => throw new FormatException(
                $"\"{text}\" is not a kind; it is one of cassette-deck, cassette-multitrack, reel, portable, part, tape, mains-transformer"
            ),
        };

    private static OfferCondition Condition(string text) =>
        text.ToLowerInvariant() switch
        {
            "" or "working" => OfferCondition.Working,
            "new" => OfferCondition.New,
            "serviced" => OfferCondition.Serviced,
            "untested" => OfferCondition.Untested,
            "faulty" => OfferCondition.Faulty,
            _ => throw new FormatException($"\"{text}\" is not a condition; it is one of new, serviced, working, untested, faulty"),
        };

    private static int Count(string text) =>
        text.Length == 0 ? 1
        : int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var count) && count is >= 1 and <= MostPieces ? count
        : throw new FormatException($"\"{text}\" is not a count from 1 to {MostPieces}");
}
