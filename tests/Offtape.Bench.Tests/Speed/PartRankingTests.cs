using Offtape.Tape;

namespace Offtape.Bench.Tests.Speed;

/// <summary>Turning parts by arithmetic: turns a second = speed ÷ (π · diameter).</summary>
public sealed class PartRankingTests
{
    private static readonly MachineFacts Cassette = new() { SpeedCmPerSecond = 4.7625 };

    [Theory]
    [InlineData(TurningPart.Capstan, 2.4), InlineData(TurningPart.PinchRoller, 12), InlineData(TurningPart.Hub, 36)]
    public void A_usual_part_of_a_cassette_machine_comes_first(TurningPart part, double diameterMm)
    {
        var turns = 47.625 / (Math.PI * diameterMm);
        var ranked = Rank(Cassette, (turns, 0.2), (2 * turns, 0.07), (33, 0.02));
        Assert.Equal(part, ranked[0].Part);
        Assert.InRange(ranked[0].TurnsPerSecond, 0.999 * turns, 1.001 * turns);
        Assert.Equal([turns, 2 * turns], ranked[0].LinesHz);
        Assert.True(ranked.Sum(r => r.Likelihood) < 1);
        Assert.True(ranked[0].Likelihood < 0.99, "a candidate is no certainty");
    }

    /// <summary>An idler of 5 mm turns as often as a belt may: what the user has measured decides.</summary>
    [Fact]
    public void What_is_known_of_the_machine_counts_for_more_than_what_is_usual()
    {
        var turns = 47.625 / (Math.PI * 5);
        var usual = Rank(Cassette, (turns, 0.2));
        var known = Rank(Cassette with { Parts = [new(TurningPart.Idler, 5)] }, (turns, 0.2));
        Assert.Equal(TurningPart.Idler, known[0].Part);
        Assert.True(known[0].Likelihood > usual.Single(c => c.Part == TurningPart.Idler).Likelihood);
        var elsewhere = Rank(Cassette with { Parts = [new(TurningPart.Idler, 8)] }, (turns, 0.2));
        Assert.NotEqual(TurningPart.Idler, elsewhere[0].Part);
    }

    /// <summary>Only the second and third multiple are seen, as of a flat on a roller: the turns are half and a third.</summary>
    [Fact]
    public void Multiples_point_to_the_turns_they_belong_to()
    {
        var ranked = Rank(Cassette with { CapstanMm = 2.4 }, (2 * 6.3165, 0.2), (3 * 6.3165, 0.1));
        Assert.Equal(TurningPart.Capstan, ranked[0].Part);
        Assert.InRange(ranked[0].TurnsPerSecond, 6.31, 6.32);
    }

    /// <summary>A strong line at twice the turns of a pinch roller of 12 mm: with the turns themselves beside it, it is more likely the roller's.</summary>
    [Fact]
    public void A_multiple_counts_for_more_where_the_turns_are_seen()
    {
        var turns = 47.625 / (Math.PI * 12);
        double Likely(params (double, double)[] lines) => Rank(Cassette, lines).Single(c => c.Part == TurningPart.PinchRoller).Likelihood;
        var alone = Likely((2 * turns, 0.2));
        // The second line is too weak to count by itself.
        var beside = Likely((2 * turns, 0.2), (turns, 0.005));
        var elsewhere = Likely((2 * turns, 0.2), (1.1 * turns, 0.005));
        Assert.True(beside > 2 * alone, $"{beside} with the turns, {alone} without");
        Assert.True(elsewhere < 1.2 * alone, $"{elsewhere} with another line, {alone} without");
    }

    [Fact]
    public void No_lines_or_no_speed_give_no_candidates()
    {
        Assert.Empty(Rank(Cassette));
        Assert.Empty(PartRanking.Rank([new(6, 0.1, 0.001)], 0.05, []));
        var reading = PartReadings.Of([], HowTaken.Rewound, new MachineFacts()).Single();
        Assert.Null(reading.Value);
        Assert.Contains("speed is not known", reading.Reason, StringComparison.Ordinal);
    }

    private static IReadOnlyList<PartCandidate> Rank(MachineFacts facts, params (double Hz, double Percent)[] lines) =>
        PartRanking.Rank(
            [.. lines.Select(l => new SpeedLine(l.Hz, l.Percent, 0.001))],
            0.055,
            UsualParts.For(facts, facts.SpeedCmPerSecond!.Value)
        );
}
