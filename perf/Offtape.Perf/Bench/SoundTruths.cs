using System.Numerics;
using Offtape.Base;
using Offtape.Bench;
using Offtape.Signal;
using Offtape.Simulator;

namespace Offtape.Perf.Bench;

/// <summary>
/// What is true of a simulated machine's sound: its response from a pulse through the same machine without wobble, noise and bend; its bend
/// from the curve itself, driven with a sine and taken apart by a Fourier sum.
/// </summary>
internal static class SoundTruths
{
    private const int Points = 2048;
    private const int MostHarmonics = 21;

    internal static IEnumerable<Truth> Of(BenchTrial trial) => trial.Memo.Of("sound", () => All(trial).ToArray());

    private static IEnumerable<Truth> All(BenchTrial trial)
    {
        var truth = new Machine(trial);
        for (var channel = 1; channel <= trial.Return.Channels.Length; channel++)
        {
            foreach (var level in new[] { -20.0, 0, 6 })
            {
                foreach (var t in Response(truth, trial, channel, level))
                    yield return t;
            }
            foreach (var (tone, hz) in new[] { ("315 Hz", 315.0), ("1 kHz", 1000.0) })
            {
                foreach (var t in Stairs(truth, channel, tone, hz))
                    yield return t;
            }
            // A curve that never folds comes nearest to its most when it is driven hardest.
            if (truth.IsBent)
                yield return new Truth("saturationOutputLevel", channel, "10 kHz", truth.OutputDb(10_000, 60, 1000));
        }
    }

    private static IEnumerable<Truth> Response(Machine truth, BenchTrial trial, int channel, double levelDb)
    {
        var hz = BandGrid.Between(22, 0.97 * Math.Min(20_000, 0.45 * trial.Return.SampleRateHz));
        var power = Array.ConvertAll(hz, f => Math.Pow(truth.Output(f, levelDb)[0].Magnitude, 2));
        var thirds = BandGrid.Thirds(power);
        var reference = thirds[BandGrid.Nearest(hz, 1000)];
        var exact = new ChannelResponse
        {
            Channel = channel - 1,
            LevelDb = levelDb,
            Hz = hz,
            ThirdsDb = Array.ConvertAll(thirds, t => Conversions.PowerToDb(t / reference)),
            ThirdsSigmaDb = Array.ConvertAll(thirds, _ => 1e-6),
            FineDb = [],
            FineSigmaDb = [],
            ReferenceGain = Math.Sqrt(reference),
        };
        var condition = SweepAnalysis.Words(levelDb);
        foreach (var reading in ResponseReadings.Readings(exact, condition))
        {
            // What the machine does not do, the sweep may miss by a hair: only figures are held.
            if (reading.Value is { } value)
                yield return new Truth(reading.Quantity, channel, condition, value);
        }
    }

    private static IEnumerable<Truth> Stairs(Machine truth, int channel, string tone, double hz)
    {
        string[] names = ["secondHarmonic", "thirdHarmonic", "fourthHarmonic", "fifthHarmonic"];
        var zero = truth.Output(hz, 0)[0].Magnitude;
        double OutDb(double sentDb) => Conversions.AmplitudeToDb(truth.Output(hz, sentDb)[0].Magnitude / zero);
        double Third(double sentDb)
        {
            var harmonics = truth.Output(hz, sentDb);
            return harmonics[2].Magnitude / harmonics[0].Magnitude;
        }
        if (Third(10) > 0.03)
            yield return new Truth("maximumOutputLevel", channel, tone, OutDb(Solve(Third, 0.03)));
        foreach (var output in new[] { -10.0, 0, 6 })
        {
            if (OutDb(10) < output)
                continue;
            var at = Solve(OutDb, output);
            var condition = $"{tone}, {SweepAnalysis.Words(output)} out";
            yield return new Truth("sendLevel", channel, condition, at);
            yield return new Truth("totalDistortion", channel, condition, 100 * Total(truth.Output(hz, at)));
        }
        var standing = truth.Output(hz, 0);
        for (var n = 2; n <= 5; n++)
            yield return new Truth(names[n - 2], channel, $"{tone}, 0 dB", 100 * standing[n - 1].Magnitude / standing[0].Magnitude);
        var (up, down) = truth.Reach(hz, 0);
        yield return new Truth("asymmetry", channel, $"{tone}, 0 dB", Conversions.AmplitudeToDb(up / down));
        yield return new Truth("compression", channel, $"{tone}, +6 dB", OutDb(-18) + 18 - (OutDb(6) - 6));
    }

    private static double Total(Complex[] harmonics) =>
        Math.Sqrt(harmonics.Skip(1).Sum(h => h.Magnitude * h.Magnitude)) / harmonics[0].Magnitude;

    private static double Solve(Func<double, double> rising, double wanted)
    {
        var (low, high) = (-30.0, 10.0);
        for (var i = 0; i < 50; i++)
        {
            var middle = (low + high) / 2;
            (low, high) = rising(middle) < wanted ? (middle, high) : (low, middle);
        }
        return (low + high) / 2;
    }

    /// <summary>The machine's sound by itself.</summary>
    private sealed class Machine
    {
        private readonly SoundModel _sound;
        private readonly int _rate;
        private readonly float[] _pulse;
        private readonly double _offsetDb;
        private readonly SaturatingCurve _curve;
        private readonly BiquadCoefficients _lift;
        private readonly Dictionary<double, Complex> _gains = [];

        internal Machine(BenchTrial trial)
        {
            var model = trial.Model;
            _sound = model.Sound;
            _rate = trial.Return.SampleRateHz;
            _offsetDb = trial.Sheet.OperatingLevelDbfs - model.SendOperatingLevelDbfs + trial.Options.RecordGainDb;
            _curve = SaturatingCurve.Of(_sound);
            const double unitHz = 1000;
            var end = unitHz / Math.Min(20_000, 0.42 * _rate);
            // The lift that the model states: a time constant, ended near the top of the band.
            _lift = BiquadCoefficients.Bilinear(
                1,
                2 * Math.PI * unitHz * _sound.RecordEmphasisMicroseconds * 1e-6 + end,
                0,
                1,
                end,
                0,
                unitHz,
                _rate
            );
            var bare = new MachineModel
            {
                Name = "bare",
                Monitoring = Monitoring.OffTape,
                TrackCount = 1,
                SpeedCmPerSecond = model.SpeedCmPerSecond,
                SendOperatingLevelDbfs = 0,
                CaptureOperatingLevelDbfs = 0,
                Transport = new TransportModel { HeadDistanceMm = 4 },
                Sound = _sound with { Curve = TapeCurve.Straight },
            };
            var send = new float[1 << 15];
            send[1 << 14] = 1;
            var options = new RunOptions
            {
                LeadSeconds = 0.2,
                LeadScatterSeconds = 0,
                TailSeconds = 0.2,
                ClipsAtFullScale = false,
            };
            _pulse = new SimulatedMachine(bare, 1).Run([send], _rate, options).Channels[0];
        }

        internal bool IsBent => _sound.Curve != TapeCurve.Straight;

        /// <summary>Output of a tone against another at operating level, in dB.</summary>
        internal double OutputDb(double hz, double sentDb, double referenceHz) =>
            Conversions.AmplitudeToDb(Output(hz, sentDb)[0].Magnitude / Output(referenceHz, 0)[0].Magnitude);

        /// <summary>Harmonics of the output up to the fifth, operating level sent = 1, for a sine at a level against operating level.</summary>
        internal Complex[] Output(double hz, double sentDb) => Output(hz, sentDb, 5);

        /// <summary>How far the wave of the output reaches up and down: with every harmonic that the band has room for, each in its phase.</summary>
        internal (double Up, double Down) Reach(double hz, double sentDb)
        {
            var harmonics = Output(hz, sentDb, MostHarmonics);
            var (up, down) = (0.0, 0.0);
            for (var i = 0; i < Points; i++)
            {
                var value = 0.0;
                for (var n = 1; n <= harmonics.Length; n++)
                    value += (harmonics[n - 1] * Complex.FromPolarCoordinates(1, 2 * Math.PI * n * i / Points)).Real;
                (up, down) = (Math.Max(up, value), Math.Max(down, -value));
            }
            return (up, down);
        }

        private Complex[] Output(double hz, double sentDb, int count)
        {
            var amplitude = Conversions.DbToAmplitude(sentDb + _offsetDb) * _lift.ResponseAt(hz, _rate).Magnitude;
            var harmonics = new Complex[count];
            for (var i = 0; i < Points; i++)
            {
                var phase = 2 * Math.PI * i / Points;
                var value = _sound.Curve == TapeCurve.Straight ? amplitude * Math.Sin(phase) : _curve.Next(amplitude * Math.Sin(phase));
                for (var n = 1; n <= count; n++)
                    harmonics[n - 1] += Complex.FromPolarCoordinates(2.0 * value / Points, -n * phase);
            }
            for (var n = 1; n <= count; n++)
            {
                if (n * hz < 0.45 * _rate)
                    harmonics[n - 1] *= Gain(n * hz) / _lift.ResponseAt(n * hz, _rate);
                else
                    harmonics[n - 1] = 0;
            }
            return harmonics;
        }

        // The defining sum, once for each frequency; how late the pulse comes is one shift of the whole wave.
        private Complex Gain(double hz)
        {
            if (_gains.TryGetValue(hz, out var known))
                return known;
            var sum = Complex.Zero;
            var (turn, step) = (Complex.One, Complex.FromPolarCoordinates(1, -2 * Math.PI * hz / _rate));
            foreach (var sample in _pulse)
            {
                sum += sample * turn;
                turn *= step;
            }
            return _gains[hz] = sum;
        }
    }
}
