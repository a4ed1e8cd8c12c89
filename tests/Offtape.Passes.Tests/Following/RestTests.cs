using Offtape.Passes.Following;
using Offtape.Passes.Listening;
using Offtape.Perf.Passes;
using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Passes.Tests.Following;

/// <summary>Sounds that rest for so long that the tape drifts away meanwhile.</summary>
public sealed class RestTests
{
    private const int Rate = Recordings.SampleRateHz;

    // 32 bars of four beats at 84 BPM.
    private const double RestSeconds = 32 * 4 * 60.0 / 84;
    private const double LengthSeconds = RestSeconds + 5;

    [Theory, InlineData(false), InlineData(true)]
    public void A_sound_every_32_bars_is_found_and_in_time_at_each_of_them(bool isWorn)
    {
        var hit = Recordings.Phrase(8600, RecordingKind.Drum, 3);
        var source = new float[(int)(LengthSeconds * Rate)];
        hit.CopyTo(source, Rate / 2);
        hit.CopyTo(source, (int)(RestSeconds * Rate) + Rate / 2);
        using var rig = new PassRig();
        rig.AddSource("cymbal", [source]);
        rig.Send();
        var model = (isWorn ? MachinePresets.WornDeck : MachinePresets.TypicalDeck).Rewound();
        rig.Print(new SimulatedMachine(model with { Sound = model.Sound with { MinimumPhase = false } }, 4100));

        var take = Assert.Single(rig.Return(r => r with { Retimings = [Retiming.Lock] }).Sheet.Takes);

        Assert.True(take.Found, take.Sentence);
        var truth = rig.Truth[rig.CapturePath("capture")].TruthPerChannel[take.CaptureChannels![0]];
        var map = take.TimeMap!;
        var (loud, errors) = (MappedPass.Loud(source), new List<double>());
        for (var i = 0; i < map.SourceSeconds.Length; i++)
        {
            var s = map.SourceSeconds[i];
            if (loud[Math.Clamp((int)(s / 0.01), 0, loud.Length - 1)])
                errors.Add(map.CaptureSeconds[i] - truth.CaptureAt(rig.SendSeconds(0, s)));
        }
        Assert.True(errors.Count > 30);
        var mean = errors.Average();
        // As promised of every source: 10 µs RMS on the typical deck, 30 on the worn one, one constant aside.
        Measured.Within(
            0,
            Math.Sqrt(errors.Average(e => (e - mean) * (e - mean))),
            isWorn ? 30e-6 : 10e-6,
            "RMS of the map at both hits, s"
        );
    }

    [Fact]
    public void Islands_are_parted_by_rests_of_more_than_six_seconds_and_fill_the_stretch()
    {
        var level = Level(30, (1, 4), (8, 9), (20, 22));

        var islands = Island.Of(level, 0, 30);

        Assert.Equal(2, islands.Count);
        Assert.Equal(0, islands[0].From);
        Measured.Within(9.1, islands[0].To, 0.011, "end of the first, a tenth of a second after its sound, s");
        Measured.Within(19.9, islands[1].From, 0.011, "start of the second, a tenth before, s");
        Assert.Equal(30, islands[1].To);
    }

    [Fact]
    public void A_silent_stretch_is_one_island() => Assert.Equal(new Island(2, 9), Assert.Single(Island.Of(Level(30, (20, 22)), 2, 9)));

    private static LevelCurve Level(double length, params (double From, double To)[] sounds)
    {
        var db = new float[(int)(length / LevelCurve.StepSeconds)];
        for (var i = 0; i < db.Length; i++)
        {
            var s = (i + 0.5) * LevelCurve.StepSeconds;
            db[i] = sounds.Any(x => s >= x.From && s < x.To) ? -10 : -120;
        }
        return new LevelCurve(db, -10);
    }
}
