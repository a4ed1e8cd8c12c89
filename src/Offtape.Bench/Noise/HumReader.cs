using Offtape.Base;

namespace Offtape.Bench;

/// <summary>Mains hum in the quiet stretches of one channel: its lines, and all of them together against operating level.</summary>
internal static class HumReader
{
    private static readonly double[] BothMains = [50, 60];

    internal static Findings Read(
        BenchCapture capture,
        MachineFacts facts,
        IReadOnlyList<QuietStretch> stretches,
        int channel,
        OperatingLevel? level
    )
    {
        var reading = new Reading
        {
            Quantity = "hum",
            Channel = channel + 1,
            Unit = "dB",
            Method = $"Lines at the mains frequency and its multiples to the {HumLines.HarmonicCount}th, together, against operating level",
        };
        var findings = Findings.None;
        foreach (var stretch in stretches.Where(s => s.Name != QuietStretch.Blank))
        {
            var here = reading with { Condition = stretch.Name };
            if (level is null)
            {
                findings += new Findings { Readings = [here.Unknown(OperatingLevel.WhyNot(capture))] };
                continue;
            }
            var hum = HumLines.Find(
                stretch.Of(capture, channel),
                capture.SampleRateHz,
                facts.MainsHz is { } mainsHz ? [mainsHz] : BothMains
            );
            findings += new Findings
            {
                Readings = [Together(here, hum, level)],
                Curves = hum.Lines.Count == 0 ? [] : [Lines(hum, channel, stretch.Name, level)],
            };
        }
        return stretches.Count == 0
            ? new Findings { Readings = [(reading with { Condition = QuietStretch.Recorded }).Unknown(capture.WhyNot("silence"))] }
            : findings;
    }

    private static Reading Together(Reading reading, HumLines hum, OperatingLevel level)
    {
        if (hum.Lines.Count == 0)
            return reading.Hidden(
                Conversions.PowerToDb(hum.LimitPower / level.Power),
                "No line at 50 or 60 Hz or their multiples stands out of the noise"
            );
        var power = hum.Lines.Sum(l => l.Power);
        var expanded = Math.Sqrt(hum.Lines.Sum(l => l.Expanded * l.Expanded));
        return reading with
        {
            Value = Conversions.PowerToDb(power / level.Power),
            Uncertainty = Math.Sqrt(Math.Pow(Repeats.PowerToDb(expanded / power), 2) + level.ExpandedDb * level.ExpandedDb),
            Method =
                $"{Words.Count(hum.Lines.Count, "line")} at multiples of {Words.Number(hum.MainsHz, 2)} Hz together, against operating level",
        };
    }

    private static ReadingCurve Lines(HumLines hum, int channel, string condition, OperatingLevel level) =>
        new()
        {
            Quantity = "humLines",
            Channel = channel + 1,
            Condition = condition,
            XUnit = "Hz",
            YUnit = "dB",
            X = [.. hum.Lines.Select(l => l.Harmonic * hum.MainsHz)],
            Y = [.. hum.Lines.Select(l => Conversions.PowerToDb(l.Power / level.Power))],
            Uncertainty = [.. hum.Lines.Select(l => Repeats.PowerToDb(l.Expanded / l.Power))],
            Method = "Lines that stand out of the noise, each against operating level",
        };
}
