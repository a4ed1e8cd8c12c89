namespace Offtape.Bench;

/// <summary>The parts of a check signal in their groups, not yet put in time. Between two groups stands a slate.</summary>
internal static class BenchParts
{
    private const double LevelToneSeconds = 4;

    // A tape needs a moment to settle after a start, and the mean over 30 s is wanted, several times over.
    private const double SpeedToneSeconds = 50;

    // 3150 Hz: IEC 60386.
    private const double SpeedToneHz = 3150;
    private const double SpeedToneLevelDb = -6;
    private const double SilenceSeconds = 10;
    private const double MidStepSeconds = 0.7;
    private const double HighStepSeconds = 0.5;
    private const double HighStairsHz = 10_000;
    private const double AboutSweepSeconds = 6;
    private const double LowestHz = 20;
    private const double HighestHz = 20_000;
    private const double ShareOfRate = 0.45;
    private const double MultitoneSeconds = 3;
    private const double ErasureSeconds = 10;
    private const double ErasureLevelDb = 6;

    private static readonly double[] MidSteps = [-30, -24, -18, -12, -8, -4, -2, 0, 2, 4, 6, 8, 10];

    // Treble is lifted before it reaches the tape, and fills it sooner; to see it stop rising the steps still have to go as far as the others.
    private static readonly double[] HighSteps = MidSteps;
    private static readonly double[] FirstEditionHighSteps = [-30, -24, -18, -12, -8, -4, -2, 0, 2, 4];
    private static readonly double[] Levels = [-20, 0, 6];

    internal static IReadOnlyList<IReadOnlyList<BenchPart>> Groups(int sampleRateHz, int channelCount, int edition)
    {
        var highSteps = edition == 1 ? FirstEditionHighSteps : HighSteps;
        int[] all = [.. Enumerable.Range(1, channelCount)];
        var highestHz = Math.Min(HighestHz, ShareOfRate * sampleRateHz);
        return
        [
            [Part(BenchPartKind.Polarity, "polarity", PolarityPulses.LengthSeconds, all), LevelTone(315, all), LevelTone(1000, all)],
            [
                Part(BenchPartKind.SpeedTone, "speed-3150", SpeedToneSeconds, all) with
                {
                    FrequencyHz = SpeedToneHz,
                    LevelDb = SpeedToneLevelDb,
                },
            ],
            [
                Part(BenchPartKind.Silence, "silence", SilenceSeconds, all),
                Stairs(315, MidSteps, MidStepSeconds, all),
                Stairs(1000, MidSteps, MidStepSeconds, all),
            ],
            [Stairs(HighStairsHz, highSteps, HighStepSeconds, all), .. Levels.Select(l => Multitone(l, highestHz, all))],
            [.. Levels.Select(l => Sweep(l, "both", highestHz, all)), .. SingleChannels(channelCount, highestHz)],
            [Part(BenchPartKind.Erasure, "erasure", ErasureSeconds, all) with { FrequencyHz = 1000, LevelDb = ErasureLevelDb }],
        ];
    }

    private static BenchPart Part(BenchPartKind kind, string name, double lengthSeconds, int[] channels) =>
        new()
        {
            Kind = kind,
            Name = name,
            StartSeconds = 0,
            LengthSeconds = lengthSeconds,
            Channels = channels,
        };

    private static BenchPart LevelTone(double frequencyHz, int[] channels) =>
        Part(BenchPartKind.LevelTone, $"level-{frequencyHz:0}", LevelToneSeconds, channels) with
        {
            FrequencyHz = frequencyHz,
        };

    private static BenchPart Stairs(double frequencyHz, double[] steps, double stepSeconds, int[] channels) =>
        Part(BenchPartKind.Staircase, $"stairs-{frequencyHz:0}", steps.Length * stepSeconds, channels) with
        {
            FrequencyHz = frequencyHz,
            StepLevelsDb = steps,
        };

    private static IEnumerable<BenchPart> SingleChannels(int channelCount, double highestHz) =>
        channelCount switch
        {
            1 => [],
            // Quiet: of two channels the crosstalk is wanted where neither is near overload.
            2 => [Sweep(-20, "left", highestHz, [1]), Sweep(-20, "right", highestHz, [2])],
            _ => Enumerable.Range(1, channelCount).Select(c => Sweep(0, $"ch{c}", highestHz, [c])),
        };

    private static BenchPart Sweep(double levelDb, string which, double highestHz, int[] channels)
    {
        var sweep = new Offtape.Signal.SynchronisedSweep(LowestHz, highestHz, AboutSweepSeconds);
        return Part(BenchPartKind.Sweep, $"sweep-{BenchPartNames.Level(levelDb)}-{which}", sweep.DurationSeconds, channels) with
        {
            LevelDb = levelDb,
            FromHz = LowestHz,
            ToHz = highestHz,
        };
    }

    private static BenchPart Multitone(double levelDb, double highestHz, int[] channels)
    {
        var (tonesHz, phases) = MultitoneDesign.Under(highestHz);
        return Part(BenchPartKind.Multitone, $"multitone-{BenchPartNames.Level(levelDb)}", MultitoneSeconds, channels) with
        {
            LevelDb = levelDb,
            TonesHz = tonesHz,
            PhasesRadians = phases,
            ToneLevelDb = Math.Round(levelDb - MultitoneDesign.PeakOverToneDb(tonesHz, phases), 2),
        };
    }
}
