using Offtape.Base;
using Offtape.Signal;
using Offtape.Simulator;

namespace Offtape.Perf.Bench;

/// <summary>What is true of a simulated machine's noise: by integrals over the spectra that it is made with.</summary>
internal static class NoiseTruths
{
    private const string Silence = "recorded silence";

    internal static IEnumerable<Truth> Of(BenchTrial trial)
    {
        var (model, rateHz) = (trial.Model, trial.Capture.SampleRateHz);
        var peaks = CleanTwin.OperatingPeaks(trial);
        var hissOnly = new MachineModel { Name = "", Noise = model.Noise };
        var quasiPeak = trial.Memo.Of("quasi-peak", () => QuasiPeak(hissOnly.Noise, rateHz));
        for (var c = 0; c < Math.Min(2, trial.Return.Channels.Length); c++)
        {
            var gain = Conversions.DbToPower(model.CaptureOperatingLevelDbfs + c * model.Tracks.BalanceDb);
            var operating = peaks[c] * peaks[c] / 2;
            (string Name, double Power)[] figures =
            [
                ("Unweighted", gain * Power(model.Noise, rateHz, _ => 1)),
                ("AWeighted", gain * Power(model.Noise, rateHz, AWeighting.PowerGainAt)),
                ("QuasiPeak", gain * quasiPeak * quasiPeak),
            ];
            foreach (var (name, power) in figures)
            {
                yield return new Truth("noise" + name, c + 1, Silence, Conversions.PowerToDb(power));
                yield return new Truth("signalToNoise" + name, c + 1, "", Conversions.PowerToDb(operating / power));
            }
            if (!double.IsNegativeInfinity(model.Noise.HumDb))
                yield return new Truth(
                    "hum",
                    c + 1,
                    Silence,
                    Conversions.PowerToDb(gain * Conversions.DbToPower(model.Noise.HumDb) / 2 / operating)
                );
            yield return new Truth("modulationNoise", c + 1, "100 Hz to 1000 Hz beside 3150 Hz", Trembling(model.Noise, rateHz));
        }
    }

    /// <summary>Power of hiss and hum for operating level 1 (peak), under a weighting, from 22.4 Hz to 22.4 kHz.</summary>
    private static double Power(NoiseModel noise, int rateHz, Func<double, double> powerGainAt)
    {
        // The simulator's documented shape: a shelf of 9 dB about 3 kHz, the end of the band at 16 kHz, rumble off at 15 Hz.
        double rate = rateHz;
        BiquadCoefficients[] sections =
        [
            BiquadCoefficients.Bilinear(1, 2.8, 0, 1, 1, 0, Math.Min(3000, rate * 0.2), rate),
            BiquadCoefficients.Bilinear(1, 0, 0, 1, 1.4, 1, Math.Min(16_000, rate * 0.4), rate),
            BiquadCoefficients.Bilinear(0, 1, 0, 1, 1, 0, 15, rate),
        ];
        double Density(double hz) => sections.Aggregate(1.0, (gain, s) => gain * Math.Pow(s.ResponseAt(hz, rate).Magnitude, 2));
        double Integral(double from, double to, Func<double, double> of)
        {
            const int steps = 20_000;
            var sum = 0.0;
            for (var i = 0; i < steps; i++)
                sum += of(from + (to - from) * (i + 0.5) / steps);
            return sum / steps * (to - from);
        }
        var stated = Conversions.DbToPower(-noise.SignalToNoiseDb) / 2;
        var hiss =
            stated * Integral(22.4, Math.Min(22_400, rate / 2), hz => Density(hz) * powerGainAt(hz)) / Integral(100, 10_000, Density);
        if (double.IsNegativeInfinity(noise.HumDb))
            return hiss;
        double[] weights = [1, 0.35, 0.6, 0.15, 0.25, 0.08, 0.12];
        var all = weights.Sum(w => w * w);
        return hiss
            + Conversions.DbToPower(noise.HumDb) / 2 * weights.Select((w, i) => w * w / all * powerGainAt((i + 1) * noise.HumHz)).Sum();
    }

    /// <summary>There is no closed form for the meter: its mean over sixteen minutes of other noise of the same make (known to 0.003 dB).</summary>
    private static double QuasiPeak(NoiseModel noise, int rateHz)
    {
        const int seconds = 960;
        var dice = new Dice(99, "truth", 0);
        var (hiss, hum, meter) = (new HissSource(noise, rateHz, dice), new Hum(noise, rateHz, dice), new QuasiPeakMeter(rateHz));
        var block = new float[rateHz];
        var sum = 0.0;
        for (var second = 0; second < seconds; second++)
        {
            Array.Clear(block);
            hiss.AddTo(block, []);
            hum.AddTo(block, (long)second * rateHz);
            meter.Process(block, block);
            if (second >= 3)
                sum += block.Average();
        }
        return sum / (seconds - 3);
    }

    /// <summary>
    /// What the envelope of a 3150 Hz tone trembles from 100 Hz to 1 kHz when a first-order low-pass of 2 kHz shapes the grain: the grain in that
    /// band, and what lies as far about twice the tone's frequency. A product with the tone folds that back beside the tone, half in phase with
    /// it, from either side: a quarter of its power.
    /// </summary>
    private static double Trembling(NoiseModel noise, int rateHz)
    {
        var keep = Math.Exp(-2 * Math.PI * 2000 / rateHz);
        double Sum(double from, double to)
        {
            const int steps = 4000;
            var sum = 0.0;
            for (var i = 0; i < steps; i++)
            {
                var w = 2 * Math.PI * (from + (to - from) * (i + 0.5) / steps) / rateHz;
                sum += (to - from) / (1 - 2 * keep * Math.Cos(w) + keep * keep);
            }
            return sum;
        }
        const double folded = 2 * 3150;
        var all = Sum(100, 1000) + (Sum(folded - 1000, folded - 100) + Sum(folded + 100, folded + 1000)) / 4;
        return noise.ModulationNoiseDb + Conversions.PowerToDb(all / Sum(0, rateHz / 2.0));
    }
}
