using Offtape.Base;
using Offtape.Signal;

namespace Offtape.Bench;

/// <summary>
/// What of one channel's sound is heard in another, against the other's own sound at the same level, in third octaves: the share of the silent
/// channel that moves with the driven one, so that noise counts only as far as it hides it.
/// </summary>
internal static class CrosstalkReader
{
    private const double FromHz = 40;
    private const double ToHz = 18_000;
    private static readonly int[] StatedBands = [0, 10];

    internal static Findings Read(BenchCapture capture, ChannelLayout layout, CancellationToken cancellation)
    {
        var singles = capture
            .Of(BenchPartKind.Sweep)
            .Where(p => p.Channels.Count == 1 && !capture.Clipped.Contains(p.Name) && layout.CarrierOf(p.Channels[0]) is not null)
            .GroupBy(p => p.Channels[0])
            .ToDictionary(g => layout.CarrierOf(g.Key)!.Value, g => g.MinBy(p => Math.Abs(p.LevelDb))!);
        var frames = singles.ToDictionary(
            s => s.Key,
            s => SweepFrames.WithoutDropouts(SweepFrames.Of(capture, s.Value, FromHz, ToHz), s.Key)
        );
        var findings = Findings.None;
        for (var driven = 0; driven < capture.ChannelCount; driven++)
        {
            for (var silent = 0; silent < capture.ChannelCount; silent++)
            {
                cancellation.ThrowIfCancellationRequested();
                if (silent == driven)
                    continue;
                if (!frames.TryGetValue(driven, out var of) || !frames.TryGetValue(silent, out var own))
                    findings += NotHeard(driven, silent, capture);
                else if (double.IsNaN(of.Count == 0 ? double.NaN : of[0].Noise[silent]))
                    findings += NotHeard(driven, silent, capture, $"Noise hides an unknown part of it: {capture.WhyNot("silence")}");
                else
                    findings += Stated(driven, silent, Bands(of, own, driven, silent), singles[driven]);
            }
        }
        return findings;
    }

    private static List<CrosstalkBand> Bands(IReadOnlyList<SweepFrame> of, IReadOnlyList<SweepFrame> own, int driven, int silent)
    {
        var bands = new List<CrosstalkBand>();
        foreach (var group in of.GroupBy(f => ThirdOctaves.BandOf(f.FrequencyHz)))
        {
            var mine = own.Where(f => ThirdOctaves.BandOf(f.FrequencyHz) == group.Key).ToArray();
            if (mine.Length == 0)
                continue;
            // Both mean powers, of what was driven and of what the other gives of itself.
            var drivenPower = group.Average(f => f.Power[driven]);
            var ownPower = mine.Average(f => f.Power[silent] - f.Noise[silent]);
            var (share, product, own2) = (0.0, 0.0, 0.0);
            var count = group.Count();
            foreach (var frame in group)
            {
                var error = frame.RatioVariance(silent, driven);
                share += (Math.Pow(frame.Ratio(silent, driven).Magnitude, 2) - error) / count;
                // Of |c + e|²: twice the product of both, and the square of the noise's own.
                product += 2 * error / (count * count);
                own2 += error * error / (count * count);
            }
            if (ownPower > 0)
                bands.Add(new CrosstalkBand(group.Key, drivenPower / ownPower, share, product, own2));
        }
        return [.. bands.OrderBy(b => b.Band)];
    }

    private static Findings Stated(int driven, int silent, List<CrosstalkBand> bands, BenchPart part)
    {
        var readings = StatedBands.Select(b => Stated(driven, silent, bands.FirstOrDefault(x => x.Band == b), b)).ToArray();
        var curve = new ReadingCurve
        {
            Quantity = "crosstalk",
            Condition = Way(driven, silent),
            XUnit = "Hz",
            YUnit = "dB",
            X = [.. bands.Select(b => ThirdOctaves.MidHz(b.Band))],
            Y = [.. bands.Select(b => b.StandsOut ? Conversions.PowerToDb(b.Share) : double.NaN)],
            Uncertainty = [.. bands.Select(b => b.StandsOut ? Repeats.PowerToDb(b.Expanded / b.Share) : double.NaN)],
            Method = $"Of {part.Name}: what moves with the driven channel, against the silent one's own sound, in third octaves",
        };
        var limit = curve with
        {
            Quantity = "crosstalkLimit",
            Y = [.. bands.Select(b => b.StandsOut ? double.NaN : Conversions.PowerToDb(b.AtMost))],
            Uncertainty = [],
            Method = "Where noise hides the crosstalk: what it does not exceed, 95 times in 100",
        };
        return new Findings { Readings = readings, Curves = [curve, .. limit.Y.Any(double.IsFinite) ? (ReadingCurve[])[limit] : []] };
    }

    private static Reading Stated(int driven, int silent, CrosstalkBand? band, int nominal)
    {
        var reading = Blank(driven, silent, nominal);
        return band is null ? reading.Unknown("No sweep of this channel alone was heard at this frequency")
            : band.StandsOut
                ? reading with
                {
                    Value = Conversions.PowerToDb(band.Share),
                    Uncertainty = Repeats.PowerToDb(band.Expanded / band.Share),
                }
            : reading.Hidden(Conversions.PowerToDb(band.AtMost), "Noise hides it");
    }

    private static Findings NotHeard(int driven, int silent, BenchCapture capture, string? reason = null) =>
        new()
        {
            Readings =
            [
                .. StatedBands.Select(b =>
                    Blank(driven, silent, b)
                        .Unknown(reason ?? $"No sweep of one channel alone was heard: {capture.WhyNot("sweep-minus20-left")}")
                ),
            ],
        };

    private static Reading Blank(int driven, int silent, int band) =>
        new()
        {
            Quantity = "crosstalk",
            Condition = $"{Way(driven, silent)}, {ThirdOctaves.NominalHz(band) / 1000:0} kHz",
            Unit = "dB",
            Method = "A sweep in one channel alone: what of the other moves with it, against the other's own sound, in a third octave",
        };

    private static string Way(int driven, int silent) => $"{driven + 1} into {silent + 1}";

    /// <summary>One third octave.</summary>
    /// <param name="Band">Its number.</param>
    /// <param name="Scale">From a share of what was driven to one of what the silent channel gives of itself.</param>
    /// <param name="Raw">The share of what was driven, without what noise alone would make of it.</param>
    /// <param name="Product">Variance for each unit of the true share.</param>
    /// <param name="Own">Variance that is there without any crosstalk.</param>
    private sealed record CrosstalkBand(int Band, double Scale, double Raw, double Product, double Own)
    {
        internal double Share => Scale * Raw;

        // Of five windows of noise the mean power reaches four standard errors over its own once in a thousand bands (gamma distribution).
        internal bool StandsOut => Raw > 4 * StandardError(0);

        internal double Expanded => 2 * Scale * StandardError(Math.Max(0, Raw));

        /// <summary>The share that would be read as little as this, or less, five times in 200: its own scatter counts, not that of what was read.</summary>
        internal double AtMost
        {
            get
            {
                var limit = Math.Max(0, Raw);
                for (var round = 0; round < 8; round++)
                    limit = Math.Max(0, Raw) + 2 * StandardError(limit);
                return Scale * limit;
            }
        }

        private double StandardError(double share) => Math.Sqrt(SweepFrame.SharedByNeighbours * (Product * share + Own));
    }
}
