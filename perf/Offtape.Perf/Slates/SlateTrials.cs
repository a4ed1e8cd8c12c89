using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Perf.Slates;

/// <summary>
/// A slate at a constant speed in white noise, made from its closed form at the speed itself (no resampling), found again.
/// S/N is stated in 500 Hz to 6 kHz.
/// </summary>
internal static class SlateTrials
{
    internal sealed record Trial(int Seed, double SpeedRatio, bool IsReversed, bool IsInverted, double SignalToNoiseDb, SlateCode Code);

    internal sealed record Outcome(
        bool IsFound,
        bool IsDirectionRight,
        bool IsCodeRight,
        double TimeErrorMs,
        double SpeedErrorPercent,
        int FalseCount
    );

    internal static Trial Draw(int seed, double signalToNoiseDb)
    {
        var random = new Random(seed);
        var speed = 0.4 * Math.Pow(2.5 / 0.4, random.NextDouble());
        var kind = (SlateKind)random.Next(3);
        var code = new SlateCode(kind, random.Next(kind == SlateKind.Gap ? 32 : 16), random.Next(128));
        return new Trial(seed, speed, random.Next(2) == 1, random.Next(2) == 1, signalToNoiseDb, code);
    }

    internal static Outcome Run(Trial trial)
    {
        const double rateHz = 16_000;
        var random = new Random(trial.Seed ^ 0x5EED);
        var lengthSeconds = Slate.LengthSeconds(trial.Code.Kind);
        var startSeconds = 2 + random.NextDouble();
        var audio = new float[(int)((startSeconds + lengthSeconds / trial.SpeedRatio + 3) * rateHz)];
        Render(trial, startSeconds, audio, rateHz);
        // Signal power of a chirp of amplitude 1 is 0.5; white noise holds 5,500 of its 8,000 Hz in the band.
        var noise = Math.Sqrt(0.5 * Conversions.DbToPower(-trial.SignalToNoiseDb) * (rateHz / 2) / 5500);
        for (var i = 0; i < audio.Length; i++)
            audio[i] += (float)(noise * Gaussian(random));
        var detector = new SlateDetector(rateHz);
        detector.Process(audio);
        var found = detector.Read(
            (start, frames) =>
            {
                for (var i = 0; i < frames.Length; i++)
                    frames[i] = start + i >= 0 && start + i < audio.Length ? audio[start + i] : 0;
            }
        );
        double CaptureAt(double slateSeconds) =>
            trial.IsReversed
                ? startSeconds + (lengthSeconds - slateSeconds) / trial.SpeedRatio
                : startSeconds + slateSeconds / trial.SpeedRatio;
        var first = found.FirstOrDefault(f => Math.Abs(CaptureAt(f.CentreInSlateSeconds) - f.CentreSeconds) < 0.02);
        if (first is null)
            return new Outcome(false, false, false, double.NaN, double.NaN, found.Count);
        return new Outcome(
            true,
            first.IsReversed == trial.IsReversed,
            first.Code == trial.Code,
            (first.CentreSeconds - CaptureAt(first.CentreInSlateSeconds)) * 1e3,
            Conversions.RatioToPercent(first.SpeedRatio / trial.SpeedRatio),
            found.Count - SlateLayout.UnitCount(trial.Code.Kind)
        );
    }

    private static void Render(Trial trial, double startSeconds, float[] audio, double rateHz)
    {
        var sign = trial.IsInverted ? -1 : 1;
        var lengthSeconds = Slate.LengthSeconds(trial.Code.Kind);
        for (var i = 0; i < audio.Length; i++)
        {
            var slateSeconds = (i / rateHz - startSeconds) * trial.SpeedRatio;
            if (slateSeconds < 0 || slateSeconds > lengthSeconds)
                continue;
            audio[i] = (float)(
                sign * ValueAt(trial.Code, trial.IsReversed ? lengthSeconds - slateSeconds : slateSeconds, rateHz / trial.SpeedRatio)
            );
        }
    }

    // What a perfect anti-alias filter leaves: the frequency of each chirp is known at each instant.
    private static double ValueAt(SlateCode code, double slateSeconds, double sourceRateHz)
    {
        double sum = 0;
        for (var unit = 0; unit < SlateLayout.UnitCount(code.Kind); unit++)
        {
            var t = slateSeconds - SlateLayout.UnitStartSeconds(unit);
            sum += Limited(SlateChirp.Fall, t, sourceRateHz);
            sum += Limited(SlateChirp.Rise, t - SlateLayout.RiseStartSeconds, sourceRateHz);
            sum += 0.5 * Limited(SlateChirp.CodeFall, t - SlateLayout.SlotStartSeconds(SlateLayout.FirstSymbol(code, unit)), sourceRateHz);
            sum += 0.5 * Limited(SlateChirp.CodeRise, t - SlateLayout.SlotStartSeconds(code.PassNumber), sourceRateHz);
        }
        return sum;
    }

    private static double Limited(SlateChirp chirp, double seconds, double sourceRateHz)
    {
        if (seconds < 0 || seconds > chirp.DurationSeconds)
            return 0;
        var period = 1 / chirp.StartHz + (1 / chirp.EndHz - 1 / chirp.StartHz) / chirp.DurationSeconds * seconds;
        return 1 / period < 0.49 * sourceRateHz ? chirp.At(seconds).Real : 0;
    }

    internal static double Gaussian(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    internal static int RunAll(string[] arguments)
    {
        var count = arguments.Length > 0 ? int.Parse(arguments[0]) : 1000;
        var outcomes = new Outcome[count];
        Parallel.For(0, count, i => outcomes[i] = Run(Draw(i, 20)));
        var found = outcomes.Where(o => o.IsFound).ToArray();
        Console.WriteLine(
            $"found {found.Length} of {count}; direction right {found.Count(o => o.IsDirectionRight)}; code right {found.Count(o => o.IsCodeRight)}; false units {outcomes.Sum(o => o.FalseCount)}"
        );
        Console.WriteLine(
            $"time error, ms: worst {found.Max(o => Math.Abs(o.TimeErrorMs)):0.0000}, rms {Math.Sqrt(found.Average(o => o.TimeErrorMs * o.TimeErrorMs)):0.0000}"
        );
        Console.WriteLine(
            $"speed error, %: worst {found.Max(o => Math.Abs(o.SpeedErrorPercent)):0.00000}, rms {Math.Sqrt(found.Average(o => o.SpeedErrorPercent * o.SpeedErrorPercent)):0.00000}"
        );
        for (var i = 0; i < count; i++)
        {
            var o = outcomes[i];
            if (
                !o.IsFound
                || !o.IsDirectionRight
                || !o.IsCodeRight
                || Math.Abs(o.TimeErrorMs) > 0.1
                || Math.Abs(o.SpeedErrorPercent) > 0.01
                || o.FalseCount != 0
            )
                Console.WriteLine($"  {Draw(i, 20)} {o}");
        }
        return 0;
    }
}
