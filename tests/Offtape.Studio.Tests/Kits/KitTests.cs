using Offtape.Testing;

namespace Offtape.Studio.Tests;

/// <summary>What a kit says of mains, tape, money and rank, each against arithmetic written out here.</summary>
public sealed class KitTests
{
    private const string Rca = "line-in:rca:2;line-out:rca:2";

    private static readonly Offer Pair = Kits.Part(90, "2ts-2rca", 8, 2, 4);

    /// <summary>50 ÷ 60 is 16.7 % slow, 60 ÷ 50 is 20 % fast: arithmetic of a motor that follows the mains.</summary>
    [Theory]
    [InlineData(60, 50, "17 % slow")]
    [InlineData(50, 60, "20 % fast")]
    public void A_motor_that_follows_the_mains_is_refused_on_the_other_frequency(double made, double mains, string how)
    {
        foreach (var motor in new[] { "synchronous", "induction" })
        {
            var verdict = MainsVerdict.Of(Kits.Machine(1, Rca, 50, $"motor={motor}") with { MainsHertz = [made] }, 230, mains);
            Assert.Contains(how, verdict.Refusal, StringComparison.Ordinal);
            Assert.Contains("no transformer cures that", verdict.Refusal, StringComparison.Ordinal);
        }
        Assert.Null(MainsVerdict.Of(Kits.Machine(1, Rca, 50, "motor=dc") with { MainsHertz = [made] }, 230, mains).Refusal);
        var unknown = MainsVerdict.Of(Kits.Machine(1, Rca, 50) with { MainsHertz = [made] }, 230, mains);
        Assert.Equal((null, 1), (unknown.Refusal, unknown.DoubtCount));
        Assert.Contains(how, Assert.Single(unknown.Cautions), StringComparison.Ordinal);
        Assert.Null(MainsVerdict.Of(Kits.Machine(1, Rca, 50, "motor=synchronous") with { MainsHertz = [50, 60] }, 230, mains).Refusal);
    }

    [Theory]
    [InlineData(230, 230, false)]
    [InlineData(220, 230, false)]
    [InlineData(240, 230, false)]
    [InlineData(110, 230, true)]
    [InlineData(230, 120, true)]
    public void The_wrong_voltage_needs_a_transformer(double made, double mains, bool needsOne) =>
        Assert.Equal(
            needsOne,
            MainsVerdict.Of(Kits.Machine(1, Rca, 50) with { MainsVolts = [(made, made)] }, mains, 50).TransformerTo is not null
        );

    [Fact]
    public void The_transformer_is_part_of_the_basket_or_there_is_none()
    {
        var foreign = Kits.Machine(1, Rca, 50, "bias=I motor=dc") with { MainsVolts = [(110, 120)] };
        var transformer = new Offer
        {
            Row = 5,
            Title = "transformer",
            Kind = OfferKind.MainsTransformer,
            Price = 25,
            Shipping = 6,
            Features = FeatureWords.Parse("from=230 to=115"),
        };
        var request = Kits.Request(tapeMinutes: 0);
        var with = Assert.Single(Kits.Find(request, [foreign, Pair, transformer]).Baskets);
        Assert.Equal(50 + 2 * 8 + 2 + 31, with.Total);
        Assert.Contains(
            "no mains transformer",
            Assert.Single(Kits.Find(request, [foreign, Pair]).Rejections).Reason,
            StringComparison.Ordinal
        );
        Assert.Equal(68, Assert.Single(Kits.Find(request with { DrawerTransformers = [(230, 115)] }, [foreign, Pair]).Baskets).Total);
    }

    /// <summary>
    /// A C60 is half an hour a side at 4.76 cm/s: both sides on a stereo deck, one direction on a four-track, half as long at 9.5.
    /// </summary>
    [Theory]
    [InlineData("bias=I", OfferKind.CassetteDeck, 60, 1)]
    [InlineData("bias=I", OfferKind.CassetteDeck, 61, 2)]
    [InlineData("bias=I speeds=9.5", OfferKind.CassetteDeck, 60, 2)]
    [InlineData("bias=I speeds=9.5", OfferKind.CassetteMultitrack, 60, 4)]
    public void As_many_tapes_are_bought_as_the_minutes_take(string features, OfferKind kind, double minutes, int count)
    {
        var machine = Kits.Machine(1, Rca, 50, features, kind: kind);
        var basket = Assert.Single(Kits.Find(Kits.Request(tapeMinutes: minutes), [machine, Pair, Kits.Tape(3, 2.5m)]).Baskets);
        Assert.Equal(count, basket.Lines.Single(l => l.Offer.Kind == OfferKind.Tape).Count);
    }

    [Theory]
    [InlineData("format=cassette minutes=60 type=II", "no tape on offer fits")]
    [InlineData("format=reel metres=549 type=I", "no tape on offer fits")]
    [InlineData("format=cassette minutes=60 type=I sticky", "no tape on offer fits")]
    [InlineData("format=cassette minutes=60 type=I mould", "no tape on offer fits")]
    public void Tape_of_another_kind_or_gone_bad_is_no_tape(string tape, string reason)
    {
        var found = Kits.Find(Kits.Request(), [Kits.Machine(1, Rca, 50), Pair, Kits.Tape(3, 2, tape)]);
        Assert.Empty(found.Baskets);
        Assert.Contains(reason, Assert.Single(found.Rejections).Reason, StringComparison.Ordinal);
    }

    /// <summary>4.50 for two sides of half an hour: 0.075 a minute at 4.76 cm/s and twice that at 9.5.</summary>
    [Fact]
    public void A_minute_of_tape_costs_what_it_costs_at_each_speed()
    {
        var machine = Kits.Machine(1, Rca, 50, "bias=I speeds=4.76/9.5");
        var basket = Assert.Single(Kits.Find(Kits.Request(), [machine, Pair, Kits.Tape(3, 2.5m, shipping: 2)]).Baskets);
        Assert.Equal([4.7625, 9.525], basket.TapePerMinute.Select(t => t.SpeedCmPerSecond));
        Measured.Within(0.075, (double)basket.TapePerMinute[0].PerMinute, 1e-9, "a minute");
        Measured.Within(0.15, (double)basket.TapePerMinute[1].PerMinute, 1e-9, "a minute");
    }

    [Fact]
    public void Repairs_are_put_by_for_condition_and_kind()
    {
        var request = Kits.Request(tapeMinutes: 0) with
        {
            Repairs = new Dictionary<string, decimal> { ["untested"] = 40, ["cassette-deck"] = 15 },
        };
        var machine = Kits.Machine(1, Rca, 50) with { Condition = OfferCondition.Untested };
        var basket = Assert.Single(Kits.Find(request, [machine, Pair]).Baskets);
        Assert.Equal((55, 50 + 18 + 55), (basket.Repairs, basket.Total));
    }

    [Fact]
    public void A_live_chassis_a_faulty_machine_and_a_missing_must_are_told()
    {
        var request = Kits.Request(tapeMinutes: 0) with { Musts = [Want.Parse("stereo")] };
        var found = Kits.Find(
            request,
            [
                Kits.Machine(1, Rca, 10, "live-chassis"),
                Kits.Machine(2, Rca, 10) with
                {
                    Condition = OfferCondition.Faulty,
                },
                Kits.Machine(3, "line-in:rca:1;line-out:rca:1", 10),
                Pair,
            ]
        );
        Assert.Empty(found.Baskets);
        Assert.Equal(
            ["chassis", "faulty", "lacks stereo"],
            found.Rejections.Select(r =>
                new[] { "chassis", "faulty", "lacks stereo" }.Single(w => r.Reason.Contains(w, StringComparison.Ordinal))
            )
        );
    }

    /// <summary>The dearer of two alike: 6 dearer, so 6.01 off, or its shipping of 7.</summary>
    [Fact]
    public void The_cheapest_change_that_lifts_a_basket_is_named()
    {
        var found = Kits.Find(Kits.Request(tapeMinutes: 0), [Kits.Machine(1, Rca, 50), Kits.Machine(2, Rca, 49, shipping: 7), Pair]);
        Assert.Equal([1, 2], found.Baskets.Select(b => b.Machine.Row));
        Assert.Contains("costs 6.00 more", found.Baskets[1].Why, StringComparison.Ordinal);
        Assert.Contains("6.01 off", found.Baskets[1].Lift, StringComparison.Ordinal);
        Assert.Contains("fetch the machine, which saves 7.00", found.Baskets[1].Lift, StringComparison.Ordinal);
        var cheaper = Kits.Find(Kits.Request(tapeMinutes: 0), [Kits.Machine(1, Rca, 50), Kits.Machine(2, Rca, 42.99m, shipping: 7), Pair]);
        Assert.Equal([2, 1], cheaper.Baskets.Select(b => b.Machine.Row));
    }

    [Fact]
    public void What_more_money_would_buy_is_told()
    {
        var request = Kits.Request(money: 80, tapeMinutes: 0) with { Wishes = [(Want.Parse("off-tape"), 3)] };
        var found = Kits.Find(request, [Kits.Machine(1, Rca, 50), Kits.Machine(2, Rca, 90, "off-tape"), Pair]);
        Assert.Equal(1, Assert.Single(found.Baskets).Machine.Row);
        Assert.Equal(2, found.OutOfReach!.Machine.Row);
        // 90 + 18 of leads are 28 over the 80.
        Assert.Contains("With 28.00 more money", found.Baskets[0].Lift, StringComparison.Ordinal);
        Assert.Contains("It lacks hearing off tape while it records.", found.Baskets[0].CannotDo);
    }

    [Fact]
    public void The_drawer_is_used_before_anything_is_bought()
    {
        var request = Kits.Request(tapeMinutes: 0) with { Drawer = new Dictionary<string, int> { ["2ts-2rca"] = 1 } };
        Assert.Equal(60, Assert.Single(Kits.Find(request, [Kits.Machine(1, Rca, 50), Pair]).Baskets).Total);
    }

    [Fact]
    public void A_viewing_sheet_is_one_page_and_warns_of_the_mains()
    {
        var machine = Kits.Machine(
            1,
            "tape-din:din5:2",
            90,
            "off-tape pitch speeds=9.5/19 bias=A motor=synchronous",
            kind: OfferKind.Reel
        ) with
        {
            MainsVolts = [(110, 120)],
            MainsHertz = [60],
            Notes = "from abroad",
        };
        var page = Assert.Single(ViewingSheet.Of(machine, Kits.Request()).ToSvg());
        foreach (var word in new[] { "bench tone", "Brakes", "pitch", "slow", "azimuth" })
            Assert.Contains(word, page, StringComparison.Ordinal);
        Assert.DoesNotContain("Brakes", ViewingSheet.Of(Kits.Machine(1, Rca, 50)).ToSvg()[0], StringComparison.Ordinal);
    }
}
