using Offtape.Tape;
using Offtape.Testing;

namespace Offtape.Simulator.Tests;

/// <summary>Checks the wobble: its size by ear and meter, its truth against the phase of a returned tone, and what each way of monitoring does to it.</summary>
public sealed class WobbleFigureTests
{
    private const int Rate = Listening.Rate;

    private static MachineModel Quiet(MachineModel model) =>
        model with
        {
            Noise = new NoiseModel(),
            Dropouts = new DropoutModel(),
            Sound = new SoundModel(),
            Tracks = new TrackModel(),
        };

    private static MachineModel Named(string name) => TruthTests.Named(name);

    public static TheoryData<string> Machines => TruthTests.Machines;

    /// <summary>
    /// A 3150 Hz tone goes through; its phase, demodulated from the returned audio, gives the send time of every frame, and that must be the
    /// inverse of the true map up to one constant. Tolerance 0.05 µs RMS: demodulation smooths by a Gaussian of 0.12 ms, which
    /// takes 0.1 % off 60 Hz and 0.4 % off 120 Hz of the worn deck's flutter of some 20 µs.
    /// </summary>
    [Theory, MemberData(nameof(Machines))]
    public void The_phase_of_a_tone_follows_the_true_map(string name)
    {
        var back = new SimulatedMachine(Quiet(Named(name)), 21).Run([Listening.Sine(3150, -12, 8)], Rate);
        var (from, to) = ((int)(4.5 * Rate), (int)(10 * Rate));
        const int step = 24;
        var time = Listening.ToneTime(back.Channels[0].AsSpan(from, to - from), 3150, step);
        var difference = new List<double>();
        for (var i = 20; i < time.Length - 20; i++)
            difference.Add(time[i] - back.TruthPerChannel[0].SourceAt((double)(from + i * step) / Rate));
        var mean = difference.Average();
        Measured.AtMost(5e-8, Math.Sqrt(difference.Average(d => (d - mean) * (d - mean))), "error of the truth, seconds RMS");
    }

    /// <summary>
    /// The meter of AES6-2008 on the tone demodulated from the returned audio reads what the model states. Tolerance 3 %: the
    /// stretch that is read is a second shorter than the one the model was scaled on, and the demodulator smooths.
    /// </summary>
    [Theory, MemberData(nameof(Machines))]
    public void A_wow_and_flutter_meter_reads_the_stated_figure(string name)
    {
        var model = Quiet(Named(name));
        var back = new SimulatedMachine(model, 22).Run([Listening.Sine(3150, -12, 31)], Rate, new RunOptions { LeadScatterSeconds = 0 });
        const int step = 24;
        var time = Listening.ToneTime(back.Channels[0].AsSpan((int)(3.1 * Rate), (int)(29.5 * Rate)), 3150, step)[20..^20];
        var deviation = new double[time.Length - 1];
        for (var i = 0; i < deviation.Length; i++)
            deviation[i] = ((time[i + 1] - time[i]) * Rate / step - 1) * 100;
        var reading = WowFlutterMeter.Read(deviation, (double)Rate / step);
        var wanted = model.Transport.WowFlutterPercent;
        Measured.Within(wanted, reading.WeightedTwoSigmaPercent, 0.03 * wanted, "weighted two-sigma in per cent");
        Measured.Within(wanted, back.WowFlutterPercent, 0.005 * wanted, "what the simulation says it drew");
    }

    /// <summary>
    /// Off tape a line of wow at f is heard 2·|sin(π·f·gap/speed)| times as strong as it is on the transport, by the difference of two
    /// moments of one speed curve. The ratio of two lines tells it without knowing the transport's own size. Tolerance 2 %: second order.
    /// </summary>
    [Theory, InlineData(1.0, 3.1), InlineData(2.4, 5.0)]
    public void Off_tape_wow_is_combed_by_the_distance_of_the_heads(double lowHz, double highHz)
    {
        const double gapSeconds = 50.8 / 190.5;
        var model = Quiet(MachinePresets.HarbourReel) with
        {
            Transport = new TransportModel
            {
                WowFlutterPercent = 0.1,
                HeadDistanceMm = 50.8,
                Lines = [new WobbleLine(lowHz, 1, 1), new WobbleLine(highHz, 1, 1)],
            },
        };
        var back = new SimulatedMachine(model, 3).Run([new float[60 * 8000]], 8000);
        double Line(double hz)
        {
            var (re, im, weight) = (0.0, 0.0, 0.0);
            for (var t = 5.0; t < 55; t += 0.002)
            {
                var window = 0.5 - 0.5 * Math.Cos(2 * Math.PI * (t - 5) / 50);
                var rate = back.TruthPerChannel[0].RateAt(t) - 1;
                re += window * rate * Math.Cos(2 * Math.PI * hz * t);
                im += window * rate * Math.Sin(2 * Math.PI * hz * t);
                weight += window;
            }
            return double.Hypot(re, im) / weight;
        }
        var wanted = Math.Abs(Math.Sin(Math.PI * highHz * gapSeconds) / Math.Sin(Math.PI * lowHz * gapSeconds));
        Measured.Within(wanted, Line(highHz) / Line(lowHz), 0.02 * wanted + 0.01, "ratio of the lines");
    }

    /// <summary>Delay = distance ÷ speed: 50.8 mm at 19.05 cm/s is 266.67 ms (arithmetic), and the mean speed cancels.</summary>
    [Fact]
    public void Off_tape_the_return_is_late_by_the_distance_of_the_heads_and_keeps_its_speed()
    {
        var model = Quiet(MachinePresets.HarbourReel) with { Transport = MachinePresets.HarbourReel.Transport with { DriftPercent = 0.3 } };
        var options = new RunOptions { DryLeakDb = -20 };
        var back = new SimulatedMachine(model, 4).Run([new float[300 * 8000]], 8000, options);
        Measured.Within(0.266667, back.HeadDelaySeconds, 1e-6, "delay in seconds");
        var delay = Enumerable.Range(0, 300).Average(t => back.TruthPerChannel[0].CaptureAt(t) - t) - back.DryLeakAtSeconds!.Value;
        // A drift of 0.3 % makes the delay 0.3 % longer or shorter at most a few times that; the leak stands on a whole frame.
        Measured.Within(0.266667, delay, 0.266667 * 0.01 + 1.0 / 8000, "delay against the leak");
        Measured.Within(1, back.SpeedRatio, 2e-5, "speed ratio");
    }

    [Fact]
    public void Rewound_the_mean_speed_is_off_by_what_the_model_says()
    {
        var ratios = new List<double>();
        for (ulong seed = 1; seed <= 12; seed++)
        {
            var model = Quiet(MachinePresets.WornDeck) with { Transport = MachinePresets.WornDeck.Transport with { DriftPercent = 0 } };
            ratios.Add(new SimulatedMachine(model, seed).Run([new float[40 * 8000]], 8000).SpeedRatio);
        }
        // 2 % either way; 40 s of wobble leave a few hundredths of a per cent of mean speed.
        Assert.All(ratios, r => Measured.Within(0.02, Math.Abs(r - 1), 0.002, "speed error"));
        Assert.Contains(ratios, r => r > 1);
        Assert.Contains(ratios, r => r < 1);
    }

    /// <summary>
    /// Two replays of one tape share the record run's wobble and nothing else. With a wobble that is all in one line, the rate of each truth
    /// is record against replay; two tapes replayed once would agree in neither.
    /// </summary>
    [Fact]
    public void Replays_of_one_tape_share_what_was_recorded()
    {
        var model = Quiet(MachinePresets.WornDeck);
        var send = new[] { new float[30 * 8000] };
        var tape = new SimulatedMachine(model, 8).Record(send, 8000);
        var first = tape.Replay(new RunOptions { ReplayNumber = 1 });
        var again = new SimulatedMachine(model, 8).Record(send, 8000).Replay(new RunOptions { ReplayNumber = 1 });
        var second = tape.Replay(new RunOptions { ReplayNumber = 2 });
        var third = tape.Replay(new RunOptions { ReplayNumber = 3 });
        Assert.Equal(first.TruthPerChannel[0].CaptureSeconds, again.TruthPerChannel[0].CaptureSeconds);
        // Correlation of rates: shared record part over record plus replay part, 1/2 for runs of one size; unrelated tapes: none.
        var related = (Correlation(first, second) + Correlation(first, third) + Correlation(second, third)) / 3;
        var other = new SimulatedMachine(model, 9).Run(send, 8000);
        Measured.Within(0.5, related, 0.2, "correlation of replays of one tape");
        Measured.Within(0, Correlation(first, other), 0.3, "correlation with another tape");
    }

    [Fact]
    public void A_perfect_transport_is_perfect()
    {
        var model = Quiet(MachinePresets.TypicalDeck) with { Transport = new TransportModel() };
        var back = new SimulatedMachine(model, 1).Run([new float[8000]], 8000);
        Measured.Within(1, back.TruthPerChannel[0].MeanRate, 1e-12, "rate");
        Assert.Equal(0, back.WowFlutterPercent);
    }

    private static double Correlation(SimulatedReturn a, SimulatedReturn b)
    {
        double[] Rates(SimulatedReturn back)
        {
            var rates = Enumerable.Range(0, 14_000).Select(i => back.TruthPerChannel[0].RateAt(1 + i * 0.002)).ToArray();
            // Fast parts only: 28 s hold too few turns of the slow ones.
            return [.. rates.Skip(50).Select((r, i) => r - rates[i])];
        }
        var (x, y) = (Rates(a), Rates(b));
        var (mx, my) = (x.Average(), y.Average());
        var (xy, xx, yy) = (0.0, 0.0, 0.0);
        for (var i = 0; i < x.Length; i++)
            (xy, xx, yy) = (xy + (x[i] - mx) * (y[i] - my), xx + (x[i] - mx) * (x[i] - mx), yy + (y[i] - my) * (y[i] - my));
        return xy / Math.Sqrt(xx * yy);
    }
}
