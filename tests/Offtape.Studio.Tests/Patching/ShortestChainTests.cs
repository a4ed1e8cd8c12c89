using Xunit.Sdk;

namespace Offtape.Studio.Tests;

/// <summary>The chain that the search finds is the shortest there is: exhaustive enumeration says so, over pairs of sockets.</summary>
public sealed class ShortestChainTests
{
    // Everything that a test of two pieces or three can enumerate in seconds, chosen so that every kind of part is among them.
    private static readonly string[] Ids =
    [
        "ts-ts",
        "trs-trs",
        "ts-rca",
        "rca-rca",
        "2ts-2rca",
        "xlr-xlr",
        "trs-xlrm",
        "xlrf-trs",
        "rca-xlrm",
        "rca-trs",
        "xlrf-rca-open",
        "trs-rca-open",
        "mini-ts",
        "mini-trs-2rca",
        "trs-2ts",
        "din5-din5",
        "din5-4rca",
        "din5-2rca-record-pad",
        "din5-2rca-replay",
        "din3-2rca-pad",
        "rcaf-ts",
        "tsf-rca",
        "rcaf-rcaf",
        "mini-trsf-trs",
        "pad20-rca",
        "pad40-xlr",
        "pad40-ts-mini",
        "iso-rca",
        "wire-ts",
        "speaker-line-rca",
    ];

    private static readonly string[] Sends =
    [
        "line-out:trs:1",
        "line-out:trs:1:floating",
        "line-out:ts:1",
        "line-out:rca:1",
        "line-out:xlr:1",
        "headphone-out:mini-trs:2",
        "headphone-out:trs:2",
        "amp-din:din5:2",
    ];

    private static readonly string[] Takers =
    [
        "line-in:rca:1",
        "line-in:ts:1",
        "line-in:trs:1",
        "line-in:xlr:1:-10",
        "mic-in:mini:1:plug-in-power",
        "mic-in:xlr:1:phantom-on",
        "instrument-in:ts:1",
        "line-in:mini-trs:2",
        "tape-din:din3:1",
        "tape-din:din5:1",
        "tape-din:din5:2",
    ];

    private static readonly string[] Players = ["line-out:rca:1", "headphone-out:mini-trs:2", "speaker-out:speaker:1", "line-out:xlr:1"];

    private static readonly string[] Inputs = ["line-in:trs:1", "line-in:ts:1", "line-in:rca:1", "mic-in:xlr:1:phantom-on"];

    public static TheoryData<string, string> Pairs =>
        [
            .. Sends.SelectMany(s => Takers.Select(t => new TheoryDataRow<string, string>(s, t))),
            .. Players.SelectMany(s => Inputs.Select(t => new TheoryDataRow<string, string>(s, t))),
        ];

    /// <summary>Two pieces at most where two are enough or nothing is; the same number, and every way that needs no more.</summary>
    [Theory, MemberData(nameof(Pairs))]
    public void The_shortest_chain_is_the_one_that_exhaustive_search_finds(string send, string taker)
    {
        const int most = 2;
        var (a, b) = (One(send), One(taker));
        var parts = Ids.Select(id => PartTypes.Find(id)!).ToArray();
        var (pieces, ways) = SlowPatch.Shortest(a, b, parts, most);
        var found = Search(a, b, parts).Shortest(most);
        Assert.Equal(pieces, found.Count == 0 ? 0 : found[0].Parts.Length);
        Assert.Equal(ways.Order(StringComparer.Ordinal), found.Select(o => Name(o, parts)).Order(StringComparer.Ordinal));
    }

    /// <summary>Where two pieces are not enough, three: fewer parts, so that all of them can be tried.</summary>
    [Theory]
    [InlineData("line-out:trs:1", "tape-din:din3:1")]
    [InlineData("line-out:xlr:1", "line-in:ts:1")]
    [InlineData("line-out:xlr:1", "mic-in:mini:1:plug-in-power")]
    [InlineData("speaker-out:speaker:1", "line-in:ts:1")]
    [InlineData("headphone-out:mini-trs:2", "tape-din:din5:2")]
    [InlineData("line-out:ts:1", "mic-in:xlr:1:phantom-on")]
    public void Three_pieces_are_found_where_two_do_not_do(string send, string taker)
    {
        string[] few =
        [
            "rca-rca",
            "xlr-xlr",
            "rca-xlrm",
            "rca-trs",
            "xlrf-rca-open",
            "mini-trs-2rca",
            "din5-2rca-record",
            "din3-2rca",
            "rcaf-ts",
            "tsf-rca",
            "rcaf-rcaf",
            "pad20-rca",
            "pad40-xlr",
            "pad40-ts-mini",
            "speaker-line-rca",
            "ts-ts",
        ];
        var (a, b) = (One(send), One(taker));
        var parts = few.Select(id => PartTypes.Find(id)!).ToArray();
        var (pieces, ways) = SlowPatch.Shortest(a, b, parts, 3);
        var found = Search(a, b, parts).Shortest(3);
        Assert.Equal(pieces, found.Count == 0 ? 0 : found[0].Parts.Length);
        Assert.Equal(ways.Order(StringComparer.Ordinal), found.Select(o => Name(o, parts)).Order(StringComparer.Ordinal));
    }

    [Fact]
    public void Sixty_pairs_and_more_are_tried_and_most_of_them_can_be_joined()
    {
        var parts = Ids.Select(id => PartTypes.Find(id)!).ToArray();
        var rows = Pairs.Select(p => Search(One(p.Data.Item1), One(p.Data.Item2), parts).Shortest(2).Count > 0).ToArray();
        Assert.True(rows.Length >= 60, $"{rows.Length} pairs");
        Assert.True(rows.Count(r => r) >= 40 && rows.Count(r => !r) >= 5, $"{rows.Count(r => r)} of {rows.Length} can be joined");
    }

    private static Socket One(string text) => SocketWords.Parse(text).Sockets.Single();

    private static JoinSearch Search(Socket a, Socket b, IReadOnlyList<PartType> parts)
    {
        var lanes = new List<JoinLane>();
        foreach (var laneA in a.Lanes)
        foreach (var laneB in b.Lanes)
            if (laneA.Flow != laneB.Flow && laneA.Channel == laneB.Channel)
                lanes.Add(new JoinLane(0, laneA, 0, laneB));
        return new JoinSearch(new JoinTask([a], [b], lanes, false), parts, new PartDistances(parts));
    }

    private static string Name(JoinOption option, IReadOnlyList<PartType> parts) =>
        string.Join("+", option.Parts.Select(p => parts[p].Id).Order(StringComparer.Ordinal));
}
