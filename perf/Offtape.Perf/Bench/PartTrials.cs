using Offtape.Bench;
using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Perf.Bench;

/// <summary>
/// A capstan, a hub or an idler that runs out, in a machine whose other parts wobble as usual: how often it is among the first three
/// candidates. Sizes are drawn over the whole usual range and a little beyond; what the user knows of the machine is nothing but its speed, or the part's
/// diameter within 2 %. Arguments: trials for each fault (100).
/// </summary>
internal static class PartTrials
{
    private static readonly TurningPart[] Faults = [TurningPart.Capstan, TurningPart.Hub, TurningPart.Idler];

    internal static int Run(string[] args)
    {
        var count = args.Length > 0 ? int.Parse(args[0]) : 100;
        Machine.Print();
        Console.WriteLine($"36 s of 3150 Hz at 45 dB, {count} trials a row; the fault has 1.5 to 4 times the size of any other line");
        Console.WriteLine();
        Console.WriteLine(
            "| fault | known beside the tape speed | first | among the first two | among the first three | not named | mean likelihood |"
        );
        Console.WriteLine("| --- | --- | --- | --- | --- | --- | --- |");
        var worst = 1.0;
        foreach (var fault in Faults)
        {
            foreach (var isKnown in new[] { false, true })
            {
                var ranks = new int[count];
                var likely = new double[count];
                Parallel.For(0, count, i => (ranks[i], likely[i]) = Rank(fault, isKnown, (ulong)(i + 1)));
                double Share(int places) => ranks.Count(r => r >= 1 && r <= places) / (double)count;
                worst = Math.Min(worst, Share(3));
                Console.WriteLine(
                    $"| {PartNames.Of(fault)} | {(isKnown ? "its diameter, within 2 %" : "nothing")} | {100 * Share(1):F0} % | {100 * Share(2):F0} % | "
                        + $"{100 * Share(3):F0} % | {100 * ranks.Count(r => r == 0) / count} % | {likely.Average():F2} |"
                );
            }
        }
        return worst >= 0.95 ? 0 : 1;
    }

    private static (int Rank, double Likelihood) Rank(TurningPart fault, bool isKnown, ulong seed)
    {
        var dice = new Dice(seed, $"part {fault} {isKnown}");
        var isReel = dice.Uniform() < 0.4;
        var speed = isReel ? (dice.Uniform() < 0.5 ? 19.05 : 38.1) : 4.7625;
        var (from, to) = Sizes(fault, isReel);
        // A twelfth beyond what is taken for usual, on either side.
        var mm = dice.LogUniform(from / 1.08, to * 1.08);
        var lines = new List<WobbleLine> { WobbleLine.OfRoller(speed, mm, dice.Uniform(1.5, 4), 1 + (int)(3 * dice.Uniform())) };
        foreach (var part in new[] { TurningPart.Capstan, TurningPart.PinchRoller, TurningPart.Hub, TurningPart.Idler })
        {
            if (part == fault)
                continue;
            var (low, high) = Sizes(part, isReel);
            lines.Add(WobbleLine.OfRoller(speed, dice.LogUniform(low, high), dice.Uniform(0.2, 1), 2));
        }
        lines.Add(new(dice.LogUniform(15, 50), dice.Uniform(0.1, 0.6), 2));
        var transport = new TransportModel
        {
            Lines = lines,
            RandomShare = dice.Uniform(0.3, 1.2),
            FlutterNoiseShare = dice.Uniform(0.3, 0.8),
        };
        var found = SpeedReader.Candidates(
            Measure(transport, dice.LogUniform(0.02, 0.15), seed),
            HowTaken.ForeignTape,
            new MachineFacts { SpeedCmPerSecond = speed, Parts = isKnown ? [new(fault, mm * (1 + 0.02 * dice.Uniform(-1, 1)))] : [] }
        );
        var place = 0;
        while (place < found.Count && found[place].Part != fault)
            place++;
        return place < found.Count ? (place + 1, found[place].Likelihood) : (0, 0);
    }

    // The tone of a perfect recorder, played by the faulty machine: phase summed from its speed, sample by sample.
    private static ToneMeasurement Measure(TransportModel transport, double percentRms, ulong seed)
    {
        const int rate = 48_000;
        const double seconds = 36.4;
        var wobble = Wobble.Draw(transport, seed, "replay 1", (int)(seconds * SpeedCurve.RateHz) + 4);
        var curve = new SpeedCurve(Array.ConvertAll(wobble, w => 1 + 0.01 * percentRms * w));
        var samples = new float[(int)(seconds * rate)];
        var noise = new ModulatedTone
        {
            Seconds = seconds,
            Amplitude = 0.25,
            SignalToNoiseDb = 45,
            Seed = (int)seed,
        }.Make();
        var clean = new ModulatedTone { Seconds = seconds, Amplitude = 0.25 }.Make();
        for (var i = 0; i < samples.Length; i++)
        {
            var turns = 3150 * curve.PositionAt((double)i / rate);
            samples[i] = (float)(0.25 * Math.Sin(2 * Math.PI * (turns - Math.Floor(turns)))) + noise[i] - clean[i];
        }
        return ToneMeter.Measure([samples.AsMemory()], rate)!;
    }

    private static (double From, double To) Sizes(TurningPart part, bool isReel) =>
        (part, isReel) switch
        {
            (TurningPart.Capstan, false) => (1.8, 3.2),
            (TurningPart.Capstan, true) => (4, 14),
            (TurningPart.PinchRoller, false) => (9, 15),
            (TurningPart.PinchRoller, true) => (22, 55),
            (TurningPart.Hub, false) => (22, 52),
            (TurningPart.Hub, true) => (45, 265),
            (TurningPart.Idler, false) => (3, 14),
            _ => (8, 45),
        };
}
