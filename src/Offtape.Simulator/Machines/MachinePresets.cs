namespace Offtape.Simulator;

/// <summary>Made-up machines of three kinds, in good and in worn condition, and the two decks that figures are stated for.</summary>
public static class MachinePresets
{
    private const double CassetteSpeed = 4.7625;

    // A capstan of 2.4 mm, a pinch roller of 12 mm, a reel hub at mid-tape, and the motor's pulley.
    private static readonly WobbleLine[] CassetteLines =
    [
        WobbleLine.OfRoller(CassetteSpeed, 2.4, 1, 3),
        WobbleLine.OfRoller(CassetteSpeed, 12, 0.7, 2),
        new(0.42, 0.8, 2),
        new(38, 0.5, 2),
    ];

    /// <summary>Both runs of tape together 0.15 % weighted two-sigma, 50 dB of 100 Hz to 10 kHz, response to 14 kHz.</summary>
    public static MachineModel TypicalDeck { get; } =
        new()
        {
            Name = "Typical deck",
            SpeedCmPerSecond = CassetteSpeed,
            Transport = new TransportModel
            {
                WowFlutterPercent = 0.15,
                Lines = CassetteLines,
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
            },
            Noise = new NoiseModel { SignalToNoiseDb = 50 },
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
                Lines = CassetteLines,
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
            },
            Noise = new NoiseModel { SignalToNoiseDb = 40 },
            Tracks = new TrackModel
            {
                CrosstalkDb = -38,
                InterChannelDelayMicroseconds = 45,
                DelayWanderMicroseconds = 6,
                BalanceDb = -1.2,
            },
            Dropouts = new DropoutModel
            {
                PerMinute = 6,
                ShortestMilliseconds = 5,
                LongestMilliseconds = 60,
                ShallowestDb = 3,
                DeepestDb = 20,
            },
        };

    /// <summary>The same machine heard off tape, from a replay head behind its record head.</summary>
    public static MachineModel OffTape(this MachineModel model) => model with { Monitoring = Monitoring.OffTape };
}
