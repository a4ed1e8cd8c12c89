using Offtape.Base;
using Offtape.Bench;
using Offtape.Signal;
using Offtape.Simulator;
using Offtape.Tape;

namespace Offtape.Perf.Bench;

/// <summary>
/// Lost treble of a known law: `bench-losses TRIALS [--mono] [--flat] [--from TRIAL] [--show]`. A machine is measured in good order and again with a gap, a spacing, a
/// coating or an azimuth that takes 6 dB or more at the top of its band, by its law, on another run with its own wobble and noise. Wanted:
/// the law first in 95 of 100, its size within 15 %. --mono: one channel, so that gap and azimuth are one. --flat: without the good
/// order known.
/// </summary>
internal static class LossTrials
{
    // The top of the band that the loss is stated for.
    private const double TopHz = 14_000;
    private static readonly MachineModel[] Machines = [MachinePresets.TypicalDeck, MachinePresets.HarbourReel.Rewound()];

    internal static int Run(string[] arguments)
    {
        var trials = arguments.Length > 0 && int.TryParse(arguments[0], out var n) ? n : 100;
        var (isMono, isFlat) = (arguments.Contains("--mono"), arguments.Contains("--flat"));
        var laws = LossLaws.All;
        var right = new int[laws.Count];
        var near = new int[laws.Count];
        var counts = new int[laws.Count];
        var stated = new List<double>();
        var baselines = Machines.Select(m => Read(m, 1, isMono, _ => 1, 0, new MachineFacts()).Curves.ToArray()).ToArray();
        for (var trial = From(arguments); trial < trials; trial++)
        {
            var random = new Random(trial);
            var (machine, law) = (trial / laws.Count % Machines.Length, laws[trial % laws.Count]);
            var model = Machines[machine];
            var speed = new TapeSpeed(model.SpeedCmPerSecond);
            var wanted = 6 + 8 * random.NextDouble();
            var size = Size(law, wanted, speed.WavelengthMicrometres(TopHz));
            var late = law == LossLaw.Azimuth ? Delay(size, speed) : 0;
            var facts = new MachineFacts
            {
                SpeedCmPerSecond = model.SpeedCmPerSecond,
                Format = Format(model),
                Baseline = isFlat ? [] : baselines[machine],
            };
            var loss = Loss(law, size, speed);
            var findings = Read(model, (ulong)(100 + trial), isMono, loss, late, facts);
            var i = laws.ToList().IndexOf(law);
            counts[i]++;
            if (arguments.Contains("--show"))
            {
                var after = findings.Curves.First(c => c.Quantity == "responseFine" && c.Channel == 1);
                var before = baselines[machine].First(c => c.Quantity == "responseFine" && c.Channel == 1);
                for (var k = 0; k < after.X.Length; k += 2)
                    if (after.X[k] > 100)
                        Console.WriteLine(
                            $"{after.X[k]:0} {after.Y[k] - before.Y[k]:0.00} law {Conversions.AmplitudeToDb(loss(after.X[k]) / loss(1000)):0.00} sigma {after.Uncertainty[k] / 2:0.00}"
                        );
            }
            var own = findings.Readings.Where(r => r.Channel == 1).ToArray();
            var first = own.FirstOrDefault(r => r.Quantity == "lossLikelihood")?.Condition ?? "none";
            var isRight = first == law.Word() || isMono && first == "gap or azimuth" && law is LossLaw.Gap or LossLaw.Azimuth;
            right[i] += isRight ? 1 : 0;
            if (!isRight)
                Console.Error.WriteLine(
                    $"trial {trial}, {model.Name}: {law.Word()} of {wanted:0.0} dB was called "
                        + string.Join(", ", own.Where(r => r.Quantity == "lossLikelihood").Select(r => $"{r.Condition} {r.Value:0} %"))
                );
            var reading = own.FirstOrDefault(r => r.Quantity == "lossSize" && r.Condition == law.Word());
            var truth =
                law == LossLaw.Azimuth
                    ? Conversions.RadiansToArcMinutes(Math.Atan(size / 1000 / Format(model).SideA.First().WidthMm))
                    : size;
            if (reading?.Value is { } value)
            {
                near[i] += Math.Abs(value / truth - 1) <= 0.15 ? 1 : 0;
                stated.Add(Math.Abs(value - truth) / reading.Uncertainty!.Value);
            }
        }
        Console.WriteLine("| law | trials | law right | size within 15 % |");
        Console.WriteLine("| --- | ---: | ---: | ---: |");
        for (var i = 0; i < laws.Count; i++)
            Console.WriteLine($"| {laws[i].Word()} | {counts[i]} | {right[i]} | {near[i]} |");
        Console.WriteLine($"| all | {counts.Sum()} | {right.Sum()} | {near.Sum()} |");
        Console.WriteLine($"Size within its stated uncertainty: {stated.Count(s => s <= 1)} of {stated.Count}.");
        return 0;
    }

    private static int From(string[] arguments) => Array.IndexOf(arguments, "--from") is >= 0 and var i ? int.Parse(arguments[i + 1]) : 0;

    private static TrackFormat Format(MachineModel model) =>
        model.Kind == MachineKind.Reel ? TrackFormats.QuarterTrackStereo : TrackFormats.CassetteStereo;

    private static double Size(LossLaw law, double lossDb, double wavelength)
    {
        var (low, high) = (0.0, 0.75 * law.LargestOverWavelength() * wavelength);
        for (var i = 0; i < 60; i++)
        {
            var middle = (low + high) / 2;
            (low, high) = -law.Db(middle, wavelength) < lossDb ? (middle, high) : (low, middle);
        }
        return (low + high) / 2;
    }

    // As late as an angle makes the second track: spacing over width times the aperture, at the tape's speed.
    private static double Delay(double apertureMicrometres, TapeSpeed speed)
    {
        var format = speed.CmPerSecond < 10 ? TrackFormats.CassetteStereo : TrackFormats.QuarterTrackStereo;
        var tracks = format.SideA.Take(2).ToArray();
        return Math.Abs(tracks[1].CentreMm - tracks[0].CentreMm) / tracks[0].WidthMm * apertureMicrometres / (speed.CmPerSecond * 1e4);
    }

    private static Func<double, double> Loss(LossLaw law, double size, TapeSpeed speed) =>
        hz => Conversions.DbToAmplitude(Math.Max(-80, law.Db(size, speed.WavelengthMicrometres(Math.Max(1, hz)))));

    private static Findings Read(
        MachineModel model,
        ulong seed,
        bool isMono,
        Func<double, double> loss,
        double lateSeconds,
        MachineFacts facts
    )
    {
        var sheet = BenchSheetMaker.Make(new BenchSheetRequest { ChannelCount = 2, Parts = ["sweep-minus20-both"] });
        var send = BenchSignal.Render(sheet);
        foreach (var channel in send)
            Filter(channel, loss, sheet.SampleRateHz);
        var machine = model with
        {
            TrackCount = 2,
            Tracks = model.Tracks with { InterChannelDelayMicroseconds = model.Tracks.InterChannelDelayMicroseconds + 1e6 * lateSeconds },
        };
        var back = new SimulatedMachine(machine, seed).Run(send, sheet.SampleRateHz);
        var located = BenchLocator.Locate(back.Channels, back.SampleRateHz, HowTaken.Rewound, sheet).Runs[0];
        var capture = isMono
            ? new BenchCapture([located.Channel(0).ToArray()], located.SampleRateHz, located.How, sheet, located.Clock, located.Heard)
            : located;
        return SoundReader.Read(capture, facts, CancellationToken.None);
    }

    /// <summary>No phase, and the stated magnitude: the spectrum of all of it, multiplied.</summary>
    private static void Filter(float[] samples, Func<double, double> magnitude, int rate)
    {
        var transform = new RealTransform(TransformLength.AtLeast(samples.Length + 8192));
        var padded = new float[transform.Length];
        samples.CopyTo(padded, 4096);
        var (re, im) = (new float[transform.BinCount], new float[transform.BinCount]);
        transform.Forward(padded, re, im);
        for (var k = 0; k < re.Length; k++)
        {
            var gain = (float)magnitude((double)k * rate / transform.Length);
            (re[k], im[k]) = (re[k] * gain, im[k] * gain);
        }
        transform.Inverse(re, im, padded);
        padded.AsSpan(4096, samples.Length).CopyTo(samples);
    }
}
