using Offtape.Signal;

namespace Offtape.Tape;

/// <summary>Pairs chirps into units, times them finely at their own speed, and reads their code.</summary>
internal sealed class SlateReader(SlateFrameReader readFrames, double rateHz)
{
    private const int Refinements = 3;

    // A unit far from every candidate's band or speed fails here; a real one at 20 dB reaches 0.9.
    private const double CodeThreshold = 0.35;
    private const double CodeLead = 1.25;

    internal List<DetectedSlate> ReadPairs(
        List<(long Frame, double Strength)> first,
        List<(long Frame, double Strength)> second,
        bool isReversed,
        double threshold
    )
    {
        // Heard backwards, the rising chirp comes first, and falls.
        var (firstChirp, secondChirp) = isReversed
            ? (SlateChirp.Rise.Reversed, SlateChirp.Fall.Reversed)
            : (SlateChirp.Fall, SlateChirp.Rise);
        var candidates = new List<DetectedSlate>();
        foreach (var (firstFrame, _) in first)
        {
            var firstZero = firstFrame / rateHz + firstChirp.ZeroSeconds;
            foreach (var (secondFrame, _) in second)
            {
                var distance = secondFrame / rateHz + secondChirp.ZeroSeconds - firstZero;
                if (distance <= SlateLayout.ZeroDistanceSeconds / SlateDetector.HighestSpeedRatio)
                    continue;
                if (distance >= SlateLayout.ZeroDistanceSeconds / SlateDetector.LowestSpeedRatio)
                    break;
                var unit = Refine(firstChirp, secondChirp, firstZero, firstZero + distance, isReversed);
                if (unit.Strength >= threshold)
                    candidates.Add(WithCode(unit));
            }
        }
        // A chirp belongs to one unit: the best pairs first, those whose code was read before all others.
        candidates.Sort((a, b) => Rank(b).CompareTo(Rank(a)));
        var kept = new List<DetectedSlate>();
        foreach (var candidate in candidates)
        {
            if (!kept.Exists(k => Overlaps(k, candidate)))
                kept.Add(candidate);
        }
        return kept;
    }

    private static double Rank(DetectedSlate unit) => unit.Strength + (unit.Code is null ? 0 : 1);

    private static bool Overlaps(DetectedSlate a, DetectedSlate b)
    {
        var (aFrom, aTo) = Extent(a);
        var (bFrom, bTo) = Extent(b);
        return aFrom < bTo && bFrom < aTo;
    }

    private static (double From, double To) Extent(DetectedSlate unit) =>
        unit.IsReversed ? (unit.RiseInstantSeconds, unit.FallInstantSeconds) : (unit.FallInstantSeconds, unit.RiseInstantSeconds);

    /// <summary>Times both chirps again with templates of the speed that their distance says, until it no longer changes.</summary>
    private DetectedSlate Refine(SlateChirp firstChirp, SlateChirp secondChirp, double firstZero, double secondZero, bool isReversed)
    {
        double strength = 0;
        var reachSeconds = 0.004;
        for (var i = 0; i < Refinements; i++)
        {
            var speed = SlateLayout.ZeroDistanceSeconds / (secondZero - firstZero);
            if (speed is < SlateDetector.LowestSpeedRatio * 0.97 or > SlateDetector.HighestSpeedRatio * 1.03)
                return new DetectedSlate(firstZero, secondZero, isReversed, 0, null, 0);
            var (a, strengthA) = Time(firstChirp, firstZero, speed, reachSeconds);
            var (b, strengthB) = Time(secondChirp, secondZero, speed, reachSeconds);
            (firstZero, secondZero, strength) = (a, b, Math.Min(strengthA, strengthB));
            if (strength == 0)
                break;
            reachSeconds = 0.0015;
        }
        return isReversed
            ? new DetectedSlate(secondZero, firstZero, true, strength, null, 0)
            : new DetectedSlate(firstZero, secondZero, false, strength, null, 0);
    }

    /// <summary>The capture second of a chirp's zero instant, near a guess, and its normalised correlation there.</summary>
    private (double ZeroSeconds, double Strength) Time(SlateChirp chirp, double zeroSeconds, double speed, double reachSeconds)
    {
        var (inPhase, quadrature) = chirp.Template(speed, rateHz);
        var startSeconds = zeroSeconds - chirp.ZeroSeconds / speed;
        var reach = (int)Math.Ceiling(reachSeconds * rateHz) + 1;
        var from = (long)Math.Round(startSeconds * rateHz) - reach;
        var window = new float[inPhase.Length + 2 * reach + 1];
        readFrames(from, window);
        var envelope = new double[2 * reach + 1];
        for (var lag = 0; lag < envelope.Length; lag++)
            envelope[lag] = Power(window.AsSpan(lag, inPhase.Length), inPhase, quadrature);
        var best = 0;
        for (var lag = 1; lag < envelope.Length; lag++)
            best = envelope[lag] > envelope[best] ? lag : best;
        double energy = 0;
        foreach (var value in window.AsSpan(best, inPhase.Length))
            energy += (double)value * value;
        if (energy <= 0 || best == 0 || best == envelope.Length - 1)
            return (zeroSeconds, 0);
        var offset = PeakOffset(envelope[best - 1], envelope[best], envelope[best + 1]);
        var strength = Math.Sqrt(envelope[best] / energy);
        return ((from + best + offset) / rateHz + chirp.ZeroSeconds / speed, strength);
    }

    // A parabola through the logarithms: exact for a Gaussian peak, and this envelope is close to one at its top.
    private static double PeakOffset(double before, double here, double after)
    {
        var (a, b, c) = (Math.Log(before + 1e-30), Math.Log(here + 1e-30), Math.Log(after + 1e-30));
        var curvature = a - 2 * b + c;
        return curvature < 0 ? 0.5 * (a - c) / curvature : 0;
    }

    private static double Power(ReadOnlySpan<float> input, float[] inPhase, float[] quadrature)
    {
        var re = DotProduct.Of(input, inPhase);
        var im = DotProduct.Of(input, quadrature);
        return (double)re * re + (double)im * im;
    }

    private DetectedSlate WithCode(DetectedSlate unit)
    {
        var first = ReadSymbol(unit, SlateChirp.CodeFall);
        var second = ReadSymbol(unit, SlateChirp.CodeRise);
        if (first is not { } symbol || second is not { } passNumber)
            return unit;
        var (kind, unitIndex, number) = SlateLayout.ReadFirstSymbol(symbol);
        return unit with { Code = new SlateCode(kind, number, passNumber), UnitIndex = unitIndex };
    }

    private int? ReadSymbol(DetectedSlate unit, SlateChirp chirp)
    {
        var speed = unit.SpeedRatio;
        var heard = unit.IsReversed ? chirp.Reversed : chirp;
        var (inPhase, quadrature) = heard.Template(speed, rateHz);
        // Capture seconds per unit second, negative backwards.
        var rate = (unit.RiseInstantSeconds - unit.FallInstantSeconds) / SlateLayout.ZeroDistanceSeconds;
        double StartOfSlot(int symbol)
        {
            var chirpStart = SlateLayout.SlotStartSeconds(symbol) + (unit.IsReversed ? chirp.DurationSeconds : 0);
            return unit.FallInstantSeconds + (chirpStart - SlateLayout.FallZeroSeconds) * rate;
        }
        var ends = (StartOfSlot(0), StartOfSlot(SlateLayout.SlotCount - 1));
        var slotFrames = SlateLayout.SlotSeconds / speed * rateHz;
        var reach = Math.Max(1, (int)(slotFrames * 0.4));
        var from = (long)Math.Floor(Math.Min(ends.Item1, ends.Item2) * rateHz) - reach - 1;
        var to = (long)Math.Ceiling(Math.Max(ends.Item1, ends.Item2) * rateHz) + reach + 1;
        var window = new float[to - from + inPhase.Length + 1];
        readFrames(from, window);
        var power = new double[to - from + 1];
        for (var i = 0; i < power.Length; i++)
            power[i] = Power(window.AsSpan(i, inPhase.Length), inPhase, quadrature);
        var slots = new double[SlateLayout.SlotCount];
        for (var symbol = 0; symbol < slots.Length; symbol++)
        {
            var centre = (int)Math.Round(StartOfSlot(symbol) * rateHz - from);
            for (var i = Math.Max(0, centre - reach); i <= Math.Min(power.Length - 1, centre + reach); i++)
                slots[symbol] = Math.Max(slots[symbol], power[i]);
        }
        var best = 0;
        for (var symbol = 1; symbol < slots.Length; symbol++)
            best = slots[symbol] > slots[best] ? symbol : best;
        double rival = 0;
        for (var symbol = 0; symbol < slots.Length; symbol++)
            rival = Math.Abs(symbol - best) > 1 ? Math.Max(rival, slots[symbol]) : rival;
        double energy = 0;
        var centreOfBest = Math.Clamp((int)Math.Round(StartOfSlot(best) * rateHz - from), 0, power.Length - 1);
        foreach (var value in window.AsSpan(centreOfBest, inPhase.Length))
            energy += (double)value * value;
        return slots[best] > CodeThreshold * CodeThreshold * energy && slots[best] > CodeLead * CodeLead * rival ? best : null;
    }
}
