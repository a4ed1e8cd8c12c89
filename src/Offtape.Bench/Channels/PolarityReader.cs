using Offtape.Signal;

namespace Offtape.Bench;

/// <summary>Which way up each channel comes back, by pulses that are tall on one side: each is laid over its own formula.</summary>
internal static class PolarityReader
{
    // How far a pulse may lie from where the slates say.
    private const double ReachSeconds = 0.04;
    private const double HalfPulseSeconds = 0.002;

    // The pulse's own likeness to itself, moved and turned over, is 0.6 at most.
    private const double LeastLikeness = 0.75;

    internal static Findings Read(BenchCapture capture)
    {
        var part = capture.Of(BenchPartKind.Polarity).FirstOrDefault();
        var readings = new List<Reading>();
        for (var channel = 0; channel < capture.ChannelCount; channel++)
        {
            var reading = new Reading
            {
                Quantity = "polarity",
                Channel = channel + 1,
                Unit = "",
                Method = "1 where sound comes back as it was sent, −1 where it is upside down; by pulses that are tall on one side",
            };
            if (part is null)
            {
                readings.Add(reading.Unknown(capture.WhyNot("polarity")));
                continue;
            }
            var (up, likeness) = Vote(capture, part, channel);
            readings.Add(
                likeness >= LeastLikeness && Math.Abs(up) >= PolarityPulses.Count / 2
                    ? reading with
                    {
                        Value = Math.Sign(up),
                        Uncertainty = 0,
                    }
                    : reading.Unknown("The pulses do not stand out, or the machine turns their phase")
            );
        }
        return new Findings { Readings = readings };
    }

    /// <summary>Pulses upright less pulses upside down, and how alike they are to the formula on the average.</summary>
    private static (int Up, double Likeness) Vote(BenchCapture capture, BenchPart part, int channel)
    {
        var half = (int)(HalfPulseSeconds * capture.SampleRateHz);
        var pulse = new float[2 * half + 1];
        for (var i = 0; i < pulse.Length; i++)
            pulse[i] = (float)PolarityPulses.At(PolarityPulses.CentreSeconds(0) + (i - half) / (double)capture.SampleRateHz);
        var own = Math.Sqrt(DotProduct.Of(pulse, pulse));
        var (up, likeness) = (0, 0.0);
        for (var index = 0; index < PolarityPulses.Count; index++)
        {
            var centre = part.StartSeconds + PolarityPulses.CentreSeconds(index);
            var reach = ReachSeconds + HalfPulseSeconds;
            var frames = capture.Stretch(channel, centre - reach, centre + reach);
            var best = 0.0;
            for (var from = 0; from + pulse.Length <= frames.Length; from++)
            {
                var here = frames.Slice(from, pulse.Length);
                var alike = DotProduct.Of(pulse, here) / (own * Math.Sqrt(DotProduct.Of(here, here)) + 1e-12);
                if (Math.Abs(alike) > Math.Abs(best))
                    best = alike;
            }
            up += Math.Sign(best);
            likeness += Math.Abs(best) / PolarityPulses.Count;
        }
        return (up, likeness);
    }
}
