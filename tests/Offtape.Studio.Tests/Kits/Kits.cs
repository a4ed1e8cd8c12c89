namespace Offtape.Studio.Tests;

/// <summary>Requests and offers for tests.</summary>
internal static class Kits
{
    public static KitResult Find(KitRequest request, IReadOnlyList<Offer> offers, int most = 5) =>
        KitSearch.Find(request, offers, most, TestContext.Current.CancellationToken);

    public static KitRequest Request(string desk = "line-out:ts:2;line-in:ts:2", decimal money = 500, double tapeMinutes = 30) =>
        new()
        {
            Interface = new StudioDevice("interface", SocketWords.ParseAll(desk)),
            Money = money,
            MainsVolts = 230,
            MainsHertz = 50,
            TapeMinutes = tapeMinutes,
        };

    public static Offer Machine(
        int row,
        string sockets,
        decimal price,
        string features = "bias=I",
        decimal shipping = 0,
        OfferKind kind = OfferKind.CassetteDeck
    ) =>
        new()
        {
            Row = row,
            Title = $"machine {row}",
            Kind = kind,
            Price = price,
            Shipping = shipping,
            Features = FeatureWords.Parse(features) is var f
                ? f with
                {
                    Format = f.Format ?? (kind == OfferKind.Reel ? "reel" : "cassette"),
                }
                : new(),
            Ports = SocketWords.ParseAll(sockets),
            MainsVolts = [(230, 230)],
            MainsHertz = [50],
        };

    public static Offer Part(int row, string id, decimal price, decimal shipping = 0, int count = 1) =>
        new()
        {
            Row = row,
            Title = $"part {row}",
            Kind = OfferKind.Part,
            Part = PartTypes.Find(id)!,
            Price = price,
            Shipping = shipping,
            Count = count,
        };

    public static Offer Tape(
        int row,
        decimal price,
        string features = "format=cassette minutes=60 type=I",
        int count = 5,
        decimal shipping = 0
    ) =>
        new()
        {
            Row = row,
            Title = $"tape {row}",
            Kind = OfferKind.Tape,
            Price = price,
            Shipping = shipping,
            Count = count,
            Features = FeatureWords.Parse(features),
        };
}
