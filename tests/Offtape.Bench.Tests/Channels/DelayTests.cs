using Offtape.Base;
using Offtape.Tape;
using Offtape.Testing;

namespace Offtape.Bench.Tests;

/// <summary>Delays between channels that are made by the parts' own formulas, a part of a frame late.</summary>
public sealed class DelayTests
{
    private const double Alpha = 300e-6;

    /// <summary>Noise of 100 Hz to 10 kHz at 40 dB under operating level, as white noise of all the band.</summary>
    private static readonly double NoiseRms =
        BenchRun.Operating / Math.Sqrt(2) * Conversions.DbToAmplitude(-40) * Math.Sqrt(24_000 / 9900.0);

    /// <summary>At 40 dB the delay is known within 0.1 µs, over one period of the highest tones and back.</summary>
    [Theory]
    [InlineData(0)]
    [InlineData(5.67)]
    [InlineData(-22.5)]
    [InlineData(310)]
    public void Delay_is_known_within_a_tenth_of_a_microsecond_at_40_dB(double microseconds)
    {
        for (var seed = 1; seed <= 2; seed++)
        {
            var findings = Read(microseconds, NoiseRms, seed);
            var reading = findings.Only("interChannelDelay");
            Measured.Within(microseconds, reading.Value!.Value, 0.1);
            // A sweep of six seconds knows it far better than that, and the stated uncertainty says so without being overrun.
            Measured.AtMost(0.1, reading.Uncertainty!.Value);
            Measured.Within(microseconds, reading.Value.Value, 2 * reading.Uncertainty.Value);
            Assert.Equal(1, findings.Only("relativePolarity").Value);
        }
    }

    /// <summary>
    /// J. McKnight, "Azimuth in a Magnetic Tape Recorder": 300 µrad turn 10 kHz between the 2 mm edge tracks of 6.3 mm tape (4.0 mm apart) by 45° at
    /// 95 mm/s and by 22° at 190 mm/s. Tolerance: 5 % of the published figure, which is rounded to a degree.
    /// </summary>
    [Theory]
    [InlineData(9.525, 45)]
    [InlineData(19.05, 22)]
    public void An_angle_of_300_microradians_turns_10_kHz_as_published(double cmPerSecond, double degrees)
    {
        var format = new TrackFormat(
            "2 mm edge tracks",
            6.3,
            [new(1, 1.15, 2, "A", TrackDirection.Forward), new(2, 5.15, 2, "A", TrackDirection.Forward)],
            ""
        );
        // The delay that the published angle stands for: φ = 360°·10 kHz·τ.
        var findings = Read(1e6 * degrees / 360 / 10_000, NoiseRms, 4, format, cmPerSecond, HowTaken.ForeignTape);
        Measured.Within(Conversions.RadiansToArcMinutes(Alpha), findings.Only("azimuth").Value!.Value, 0.05 * 1.0313);
    }

    /// <summary>300 µrad are 1.031′; by s·tan α ÷ v on every format with two tracks a side.</summary>
    [Fact]
    public void An_angle_of_300_microradians_is_read_on_every_format()
    {
        foreach (var format in TrackFormats.All.Where(f => f.SideA.Count() > 1))
        {
            var tracks = format.SideA.Take(2).ToArray();
            var spacingMm = Math.Abs(tracks[1].CentreMm - tracks[0].CentreMm);
            var cmPerSecond = format.TapeWidthMm < 4 ? 4.7625 : 19.05;
            var reading = Read(1e6 * spacingMm / 10 * Math.Tan(Alpha) / cmPerSecond, NoiseRms, 5, format, cmPerSecond, HowTaken.OffTape)
                .Only("azimuth");
            Measured.Within(1.0313, reading.Value!.Value, 0.05 * 1.0313, format.Name);
        }
    }

    /// <summary>A head against itself has no angle; without speed or tracks none can be worked out; the delay stands all the same.</summary>
    [Theory]
    [InlineData(HowTaken.Rewound, true, null, false)]
    [InlineData(HowTaken.Rewound, true, 50.8, true)]
    [InlineData(HowTaken.OffTape, true, null, true)]
    [InlineData(HowTaken.ForeignTape, true, null, true)]
    [InlineData(HowTaken.ForeignTape, false, null, false)]
    public void Azimuth_is_stated_only_where_it_can_be_known(HowTaken how, bool speedIsKnown, double? headDistanceMm, bool isStated)
    {
        var sheet = BenchRun.Sheet("sweep-0-both");
        var capture = BenchRun.Of(sheet, BenchRun.Late(sheet, 0, 1e-5), how);
        var facts = new MachineFacts
        {
            Format = TrackFormats.CassetteStereo,
            SpeedCmPerSecond = speedIsKnown ? 4.7625 : null,
            HeadDistanceMm = headDistanceMm,
        };
        var findings = ChannelsReader.Read(capture, facts, CancellationToken.None);
        var reading = findings.Only("azimuth");
        Assert.Equal(isStated, reading.Value is not null);
        Assert.Equal(isStated, reading.Reason is null);
        Assert.NotNull(findings.Only("interChannelDelay").Value);
    }

    /// <summary>
    /// A delay that swings by ±8 µs at 0.5 Hz: its root mean square is 8/√2, its mean the delay itself. The uncertainty of the delay grows by it.
    /// </summary>
    [Fact]
    public void Wander_is_read_and_widens_the_uncertainty()
    {
        var sheet = BenchRun.Sheet("speed", "sweep-0-both", "silence");
        var channels = BenchRun.Late(sheet, 0, 0);
        var random = new Random(2);
        channels[1] = new float[channels[0].Length];
        var scratch = new float[1];
        foreach (var part in sheet.Parts.Where(p => p.Kind != BenchPartKind.Silence))
        {
            var first = (int)(part.StartSeconds * BenchRun.RateHz);
            for (var i = 0; i < (int)(part.LengthSeconds * BenchRun.RateHz); i++)
            {
                scratch[0] = 0;
                var late = 20e-6 + 8e-6 * Math.Sin(2 * Math.PI * 0.5 * (first + i) / BenchRun.RateHz);
                PartSound.Add(part, sheet.OperatingLevelDbfs, i - late * BenchRun.RateHz, BenchRun.RateHz, scratch);
                channels[1][first + i] = scratch[0];
            }
        }
        Array.ForEach(channels, c => BenchRun.AddNoise(c, NoiseRms / 10, random.Next()));

        var findings = ChannelsReader.Read(BenchRun.Of(sheet, channels), new MachineFacts(), CancellationToken.None);

        // About its mean over the tone, which is no whole number of swings. Means over a twentieth of a second lose 0.1 % of half a hertz.
        var tone = sheet.Parts.Single(p => p.Kind == BenchPartKind.SpeedTone);
        double[] swing =
        [
            .. Enumerable
                .Range(0, 2000)
                .Select(i => tone.StartSeconds + 0.14 + i * (tone.LengthSeconds - 0.28) / 2000)
                .Select(t => 8 * Math.Sin(2 * Math.PI * 0.5 * t)),
        ];
        var wanted = Math.Sqrt(swing.Average(x => x * x) - Math.Pow(swing.Average(), 2));
        Measured.Within(wanted, findings.Only("interChannelDelayWander").Value!.Value, 0.03);
        var delay = findings.Only("interChannelDelay");
        Measured.Within(20, delay.Value!.Value, delay.Uncertainty!.Value);
        Assert.InRange(delay.Uncertainty.Value, 0.5, 8);
    }

    [Fact]
    public void Channels_that_have_nothing_in_common_have_no_delay()
    {
        var capture = BenchRun.Of(
            ["sweep-0-both"],
            channels =>
            {
                Array.Clear(channels[1]);
                BenchRun.AddNoise(channels[1], 0.05, 3);
            }
        );
        var findings = ChannelsReader.Read(capture, new MachineFacts(), CancellationToken.None);
        Assert.Null(findings.Only("interChannelDelay").Value);
        Assert.Null(findings.Only("relativePolarity").Value);
    }

    private static Findings Read(
        double microseconds,
        double noiseRms,
        int seed,
        TrackFormat? format = null,
        double? cmPerSecond = null,
        HowTaken how = HowTaken.Rewound
    )
    {
        var sheet = BenchRun.Sheet("sweep-0-both", "silence");
        var channels = BenchRun.Late(sheet, 0, microseconds * 1e-6);
        for (var c = 0; c < channels.Length; c++)
            BenchRun.AddNoise(channels[c], noiseRms, 10 * seed + c);
        var facts = new MachineFacts { Format = format, SpeedCmPerSecond = cmPerSecond };
        return ChannelsReader.Read(BenchRun.Of(sheet, channels, how), facts, CancellationToken.None);
    }
}
