namespace Offtape.Simulator;

/// <summary>
/// Made-up machines of the three kinds, each in good and in worn condition, and the two decks that this project's figures are stated for. No
/// preset describes a real product; their figures are of the size that is usual for such machines.
/// </summary>
public static class MachinePresets
{
    private const double CassetteSpeed = 4.7625;
    private const double DoubleCassetteSpeed = 9.525;
    private const double ReelSpeed = 19.05;

    // First in the file because the presets below are made from it as they are read.
    private static DropoutModel WornTape { get; } =
        new()
        {
            PerMinute = 6,
            ShortestMilliseconds = 5,
            LongestMilliseconds = 60,
            ShallowestDb = 3,
            DeepestDb = 20,
        };

    /// <summary>Both runs of tape together 0.15 % weighted two-sigma, 50 dB of 100 Hz to 10 kHz, response to 14 kHz.</summary>
    public static MachineModel TypicalDeck { get; } =
        new()
        {
            Name = "Typical deck",
            SpeedCmPerSecond = CassetteSpeed,
            Transport = new TransportModel
            {
                WowFlutterPercent = 0.15,
                Lines = CassetteLines(CassetteSpeed),
                RandomShare = 1,
                FlutterNoiseShare = 0.6,
                DriftPercent = 0.05,
                RunToRunSpeedPercent = 0.4,
                HeadDistanceMm = 4.2,
            },
            Sound = new SoundModel
            {
                TrebleLimitHz = 14_000,
                BassLimitHz = 28,
                HeadBumpHz = 62,
                HeadBumpDb = 1.2,
                Curve = TapeCurve.Saturating,
                MaximumOutputLevelDb = 4,
                SecondHarmonicPercent = 0.2,
            },
            Noise = new NoiseModel { SignalToNoiseDb = 50, ModulationNoiseDb = -48 },
            Tracks = new TrackModel
            {
                CrosstalkDb = -45,
                InterChannelDelayMicroseconds = 9,
                DelayWanderMicroseconds = 2,
                BalanceDb = 0.3,
            },
        };

    /// <summary>0.5 %, 40 dB, 9 kHz; run-to-run speed 2 % off, second channel 45 µs late, crosstalk −38 dB, dropouts to 60 ms.</summary>
    public static MachineModel WornDeck { get; } =
        new()
        {
            Name = "Worn deck",
            SpeedCmPerSecond = CassetteSpeed,
            Transport = new TransportModel
            {
                WowFlutterPercent = 0.5,
                Lines = CassetteLines(CassetteSpeed),
                RandomShare = 1.3,
                FlutterNoiseShare = 0.8,
                DriftPercent = 0.15,
                RunToRunSpeedPercent = 2,
                HeadDistanceMm = 4.2,
            },
            Sound = new SoundModel
            {
                TrebleLimitHz = 9000,
                BassLimitHz = 45,
                HeadBumpHz = 75,
                HeadBumpDb = 2,
                Curve = TapeCurve.Saturating,
                MaximumOutputLevelDb = 3,
                SecondHarmonicPercent = 0.8,
            },
            Noise = new NoiseModel
            {
                SignalToNoiseDb = 40,
                ModulationNoiseDb = -40,
                HumDb = -50,
            },
            Tracks = new TrackModel
            {
                CrosstalkDb = -38,
                InterChannelDelayMicroseconds = 45,
                DelayWanderMicroseconds = 6,
                BalanceDb = -1.2,
            },
            Dropouts = WornTape,
        };

    /// <summary>A quarter-inch reel machine with separate heads at 19 cm/s, heard off tape.</summary>
    public static MachineModel HarbourReel { get; } =
        new()
        {
            Name = "Harbour reel",
            Kind = MachineKind.Reel,
            Monitoring = Monitoring.OffTape,
            SpeedCmPerSecond = ReelSpeed,
            Transport = new TransportModel
            {
                WowFlutterPercent = 0.08,
                Lines = ReelLines(ReelSpeed),
                RandomShare = 0.8,
                FlutterNoiseShare = 0.7,
                FlutterNoiseHz = 90,
                DriftPercent = 0.02,
                RunToRunSpeedPercent = 0.1,
                HeadDistanceMm = 50.8,
            },
            Sound = new SoundModel
            {
                TrebleLimitHz = 19_000,
                BassLimitHz = 24,
                HeadBumpHz = 55,
                HeadBumpDb = 1.5,
                Curve = TapeCurve.Saturating,
                MaximumOutputLevelDb = 8,
                SecondHarmonicPercent = 0.1,
                RecordEmphasisMicroseconds = 20,
            },
            Noise = new NoiseModel { SignalToNoiseDb = 58, ModulationNoiseDb = -52 },
            Tracks = new TrackModel
            {
                CrosstalkDb = -52,
                InterChannelDelayMicroseconds = 3,
                DelayWanderMicroseconds = 0.8,
                BalanceDb = 0.1,
            },
        };

    /// <summary>The same kind of machine, neglected: worn heads, a tired motor, old tape.</summary>
    public static MachineModel HarbourReelWorn { get; } =
        HarbourReel with
        {
            Name = "Harbour reel, worn",
            Transport = HarbourReel.Transport with
            {
                WowFlutterPercent = 0.3,
                RandomShare = 1.2,
                DriftPercent = 0.12,
                RunToRunSpeedPercent = 0.8,
            },
            Sound = HarbourReel.Sound with
            {
                TrebleLimitHz = 11_500,
                HeadBumpDb = 3,
                MaximumOutputLevelDb = 5,
                SecondHarmonicPercent = 0.7,
            },
            Noise = new NoiseModel
            {
                SignalToNoiseDb = 46,
                ModulationNoiseDb = -42,
                HumDb = -52,
            },
            Tracks = new TrackModel
            {
                CrosstalkDb = -40,
                InterChannelDelayMicroseconds = -22,
                DelayWanderMicroseconds = 3,
                BalanceDb = 0.9,
            },
            Dropouts = WornTape with { PerMinute = 2 },
        };

    /// <summary>A cassette deck with one head for recording and replay: record, rewind, replay.</summary>
    public static MachineModel KitchenDeck { get; } =
        TypicalDeck with
        {
            Name = "Kitchen deck",
            Transport = TypicalDeck.Transport with { WowFlutterPercent = 0.11, RunToRunSpeedPercent = 0.25 },
            Sound = TypicalDeck.Sound with { TrebleLimitHz = 15_500 },
            Noise = TypicalDeck.Noise with { SignalToNoiseDb = 53 },
        };

    /// <summary>The same kind of deck with slack belts and a magnetised head.</summary>
    public static MachineModel KitchenDeckWorn { get; } =
        WornDeck with
        {
            Name = "Kitchen deck, worn",
            Transport = WornDeck.Transport with { WowFlutterPercent = 0.38, RunToRunSpeedPercent = 1.2 },
            Sound = WornDeck.Sound with { TrebleLimitHz = 10_500 },
            Noise = WornDeck.Noise with { SignalToNoiseDb = 43 },
        };

    /// <summary>A multitrack cassette recorder: four tracks in one direction at 9.5 cm/s, replayed by the head that recorded them.</summary>
    public static MachineModel AtticFourTrack { get; } =
        TypicalDeck with
        {
            Name = "Attic four-track",
            Kind = MachineKind.Multitrack,
            TrackCount = 4,
            SpeedCmPerSecond = DoubleCassetteSpeed,
            Transport = TypicalDeck.Transport with { Lines = CassetteLines(DoubleCassetteSpeed), WowFlutterPercent = 0.1 },
            Sound = TypicalDeck.Sound with { TrebleLimitHz = 16_000, HeadBumpHz = 95 },
            Noise = TypicalDeck.Noise with { SignalToNoiseDb = 52 },
            Tracks = TypicalDeck.Tracks with { CrosstalkDb = -42, InterChannelDelayMicroseconds = 4 },
        };

    /// <summary>The same kind of recorder with worn heads and a pitch control that does not stay where it is put.</summary>
    public static MachineModel AtticFourTrackWorn { get; } =
        WornDeck with
        {
            Name = "Attic four-track, worn",
            Kind = MachineKind.Multitrack,
            TrackCount = 4,
            SpeedCmPerSecond = DoubleCassetteSpeed,
            Transport = WornDeck.Transport with
            {
                Lines = CassetteLines(DoubleCassetteSpeed),
                WowFlutterPercent = 0.35,
                RunToRunSpeedPercent = 3,
            },
            Sound = WornDeck.Sound with { TrebleLimitHz = 12_000, HeadBumpHz = 110 },
            Noise = WornDeck.Noise with { SignalToNoiseDb = 42 },
            Tracks = WornDeck.Tracks with { CrosstalkDb = -32, InterChannelDelayMicroseconds = 14 },
        };

    /// <summary>All of them.</summary>
    public static IReadOnlyList<MachineModel> All { get; } =
    [TypicalDeck, WornDeck, HarbourReel, HarbourReelWorn, KitchenDeck, KitchenDeckWorn, AtticFourTrack, AtticFourTrackWorn];

    /// <summary>The same machine heard off tape, from a replay head behind its record head.</summary>
    public static MachineModel OffTape(this MachineModel model) => model with { Monitoring = Monitoring.OffTape };

    /// <summary>The same machine recorded, rewound and replayed.</summary>
    public static MachineModel Rewound(this MachineModel model) => model with { Monitoring = Monitoring.Rewound };

    // A capstan of 2.4 mm, a pinch roller of 12 mm, a reel hub at mid-tape (radius about 18 mm), and a motor
    // that turns as fast as a roller of 0.4 mm would.
    private static WobbleLine[] CassetteLines(double speedCmPerSecond) =>
        [
            WobbleLine.OfRoller(speedCmPerSecond, 2.4, 1, 3),
            WobbleLine.OfRoller(speedCmPerSecond, 12, 0.7, 2),
            WobbleLine.OfRoller(speedCmPerSecond, 36, 0.8, 2),
            WobbleLine.OfRoller(speedCmPerSecond, 0.4, 0.5, 2),
        ];

    // A capstan of 8 mm, a pinch roller of 40 mm, a reel at mid-tape, and the motor at 25 turns a second.
    private static WobbleLine[] ReelLines(double speedCmPerSecond) =>
        [
            WobbleLine.OfRoller(speedCmPerSecond, 8, 1, 3),
            WobbleLine.OfRoller(speedCmPerSecond, 40, 0.7, 2),
            WobbleLine.OfRoller(speedCmPerSecond, 110, 0.7, 1),
            new(25, 0.4, 3),
        ];
}
