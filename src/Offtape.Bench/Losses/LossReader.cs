using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>
/// Reads what lost treble says of the heads: the fall is fitted to the laws of gap, spacing, thickness and azimuth, and they are ranked by
/// likelihood, each with the size it would have. A response known from better days is taken off first. Of a foreign tape, switches of
/// equalisation set differently are tried as well.
/// </summary>
internal static class LossReader
{
    private const string Method =
        "treble fall of a quiet sweep fitted to the laws of gap, spacing, thickness and azimuth, with what a response has beside them";
    private const string Source = "Wallace, Bell Syst. Tech. J. 30, 1951; aperture formula (Eargle 1994)";

    // Where the laws have begun to be told apart, and the bass of the heads is over.
    private const double FromHz = 100;

    // What a machine's response has that no law foretells, against its own response of another day, and against flat: there it is the machine's own
    // end of the band as well, which nobody knows, 2 dB of it at 10 kHz and more above. Common practice, no source.
    private const double SystematicAgainstBaselineDb = 0.1;
    private const double SystematicAgainstFlatDb = 1;
    private const double UnknownEndDbAt10KHz = 2;

    private const double LowestDb = -25;

    // Less than this at the top of the band tells no law.
    private const double LeastLossDb = 1.5;

    // A tape weaves by 600 µrad from peak to peak (McKnight, "Azimuth and Interchannel Time Displacement Error"), and heads in order stand within
    // 300 µrad (McKnight, "Azimuth in a Magnetic Tape Recorder").
    private const double WeaveRadians = 150e-6;
    private const double StandingRadians = 300e-6;

    // Distance of track centres over track width, where the format is not given: from 0.9/0.6 (cassette) to 3.5/2.75 (DIN stereo).
    private const double UsualSpacingOverWidth = 1.4;

    internal static Findings Of(BenchCapture capture, MachineFacts facts, SweepAnalysis sweeps)
    {
        var delay = ChannelDelay.Of(sweeps);
        var findings = Findings.None;
        foreach (var channel in sweeps.Channels)
        {
            var level = sweeps.LevelsDb.First(l => sweeps.Of(channel, l).Count > 0);
            if (sweeps.Response(channel, level) is { } response)
                findings += Of(response, capture.How, facts, delay);
        }
        return findings;
    }

    internal static Findings Of(ChannelResponse response, HowTaken how, MachineFacts facts, (double Seconds, double Sigma)? delay)
    {
        var baseline = Baseline(facts, response);
        var (hz, db, sigma) = Points(response, baseline);
        var loss = New(response, "trebleLoss", "", "dB");
        var mixUp = New(response, "equalisationMixUp", "", "%");
        if (how != HowTaken.ForeignTape)
            mixUp = mixUp.Unknown("of its own recording a switch set wrong both ways cancels; a tape from another machine would tell");
        if (hz.Length < 3 * BandGrid.HalfThird)
            return new Findings { Readings = [loss.Unknown("the treble is lost in noise"), mixUp] };
        var top = Mean(db[^BandGrid.HalfThird..]);
        var topSigma = Mean(sigma[^BandGrid.HalfThird..]);
        loss = loss with
        {
            Condition = "top of the band",
            Value = -top,
            Uncertainty = 2 * topSigma,
            Method =
                $"response about {hz[^1] / 1000:0.0} kHz, the highest that was heard, against 1 kHz"
                + (baseline is null ? "" : ", against the response known from before"),
            Standard = "",
        };
        var likelihood = new ResponseLikelihood(hz, db, sigma, baseline is null ? AgainstFlat : _ => SystematicAgainstBaselineDb);
        var shapes = how == HowTaken.ForeignTape ? EqualisationShapes.For(facts) : [];
        if (-top < LeastLossDb && shapes.Count == 0)
            return new Findings { Readings = [loss, mixUp] };

        var wavelength = new TapeSpeed(facts.SpeedCmPerSecond ?? UnknownSpeed).WavelengthMicrometres(1);
        var fits = LossLaws
            .All.Select(law => LossFit.Of(likelihood, law, wavelength, DelayEvidence(law, facts, delay, wavelength)))
            .ToArray();
        var switches = shapes.Select(s => (Shape: s, Log: likelihood.Of(s.Db))).ToArray();
        var none = likelihood.Of(_ => 0);
        var all = Sum([.. fits.Select(f => f.LogEvidence), .. switches.Select(s => s.Log), none]);
        var readings = new List<Reading> { loss };
        readings.AddRange(Ranked(response, facts, fits, all, delay is not null));
        if (switches.Length > 0)
        {
            var best = switches.MaxBy(s => s.Log);
            mixUp = mixUp with { Condition = best.Shape.Words, Value = 100 * Math.Exp(best.Log - all) };
        }
        else if (how == HowTaken.ForeignTape)
            mixUp = mixUp.Unknown("there is one equalisation for this speed, or the speed is not given");
        readings.Add(mixUp);
        return new Findings { Readings = readings, Notices = [Rivals(response, baseline is not null)] };
    }

    private static double AgainstFlat(double hz) => double.Hypot(SystematicAgainstFlatDb, UnknownEndDbAt10KHz * hz * hz / 1e8);

    // Any will do: shapes depend on size over speed, and no size is stated.
    private const double UnknownSpeed = 4.7625;

    private static IEnumerable<Reading> Ranked(ChannelResponse response, MachineFacts facts, LossFit[] fits, double all, bool hasDelay)
    {
        double Percent(LossFit fit) => 100 * Math.Exp(fit.LogEvidence - all);
        var gap = fits.First(f => f.Law == LossLaw.Gap);
        var azimuth = fits.First(f => f.Law == LossLaw.Azimuth);
        var ranked = hasDelay
            ? fits.Select(f => (Word: f.Law.Word(), Percent: Percent(f), Fits: new[] { f }))
            : fits.Where(f => f.Law is LossLaw.Spacing or LossLaw.Thickness)
                .Select(f => (Word: f.Law.Word(), Percent: Percent(f), Fits: new[] { f }))
                // One channel alone cannot tell them apart: the law is the same.
                .Append((Word: "gap or azimuth", Percent: Percent(gap) + Percent(azimuth), Fits: [gap, azimuth]));
        foreach (var (word, percent, own) in ranked.OrderByDescending(r => r.Percent))
        {
            yield return New(response, "lossLikelihood", word, "%") with
            {
                Value = percent,
            };
            foreach (var fit in own)
                yield return Size(response, facts, fit);
        }
    }

    private static Reading Size(ChannelResponse response, MachineFacts facts, LossFit fit)
    {
        var isAngle = fit.Law == LossLaw.Azimuth;
        var reading = New(response, "lossSize", fit.Law.Word(), isAngle ? "′" : "µm") with
        {
            Method = fit.Law switch
            {
                LossLaw.Gap => "length of a gap that would take this much more than before",
                LossLaw.Spacing => "distance of tape and heads, of recording and replay together, that would take this much",
                LossLaw.Thickness => "depth of a coating that would take this much",
                _ => "angle between the heads that would take this much",
            },
        };
        if (facts.SpeedCmPerSecond is null)
            return reading.Unknown("the speed of the tape is not given");
        if (!isAngle)
            return reading with { Value = fit.SizeMicrometres, Uncertainty = 2 * fit.SizeSigma * fit.SizeMicrometres };
        if (facts.Format is null)
            return reading.Unknown("the track format is not given");
        var width = facts.Format.SideA.First().WidthMm * 1000;
        var minutes = Conversions.RadiansToArcMinutes(Math.Atan(fit.SizeMicrometres / width));
        return reading with { Value = minutes, Uncertainty = 2 * fit.SizeSigma * minutes };
    }

    /// <summary>What the delay between the channels says for or against: heads askew make one track late, and nothing else does.</summary>
    private static Func<double, double> DelayEvidence(
        LossLaw law,
        MachineFacts facts,
        (double Seconds, double Sigma)? delay,
        double micrometresPerSecond
    )
    {
        if (delay is not { } measured)
            return _ => 0;
        var tracks = facts.Format?.SideA.Take(2).ToArray();
        var (spacing, width) = tracks is { Length: 2 }
            ? (Math.Abs(tracks[1].CentreMm - tracks[0].CentreMm) * 1000, tracks[0].WidthMm * 1000)
            : (UsualSpacingOverWidth * 600, 600.0);
        var weave = double.Hypot(measured.Sigma, spacing * WeaveRadians / micrometresPerSecond);
        var standing = spacing * StandingRadians / micrometresPerSecond;
        if (law != LossLaw.Azimuth)
        {
            var sigma = double.Hypot(weave, standing);
            var log = -measured.Seconds * measured.Seconds / (2 * sigma * sigma) - Math.Log(sigma);
            return _ => log;
        }
        // Where the format is not given the delay of an angle is known within a third.
        var share = tracks is { Length: 2 } ? 0.05 : 0.3;
        return aperture =>
        {
            var late = spacing / width * aperture / micrometresPerSecond;
            var sigma = double.Hypot(weave, share * late);
            var left = Math.Abs(measured.Seconds) - late;
            // Either way askew is as likely.
            return -left * left / (2 * sigma * sigma) - Math.Log(2 * sigma);
        };
    }

    private static (double[] Hz, double[] Db, double[] Sigma) Points(ChannelResponse response, ReadingCurve? baseline)
    {
        var (hz, db, sigma) = (new List<double>(), new List<double>(), new List<double>());
        for (var k = 0; k < response.Hz.Length; k++)
        {
            if (response.Hz[k] < FromHz || double.IsNaN(response.FineDb[k]))
                continue;
            // From where it is lost, or so low that what is left between two nulls is heard, nothing more counts.
            if (response.Hz[k] > 1000 && (k > 0 && double.IsNaN(response.FineDb[k - 1]) || response.ThirdsDb[k] < LowestDb))
                break;
            var (before, beforeSigma) = baseline is null ? (0, 0) : At(baseline, response.Hz[k]);
            if (double.IsNaN(before))
                continue;
            hz.Add(response.Hz[k]);
            db.Add(response.FineDb[k] - before);
            sigma.Add(double.Hypot(response.FineSigmaDb[k], beforeSigma));
        }
        return ([.. hz], [.. db], [.. sigma]);
    }

    private static ReadingCurve? Baseline(MachineFacts facts, ChannelResponse response) =>
        facts.Baseline.FirstOrDefault(c =>
            c.Quantity == "responseFine" && c.Channel == response.Channel + 1 && c.Condition == SweepAnalysis.Words(response.LevelDb)
        );

    private static (double Db, double Sigma) At(ReadingCurve curve, double hz)
    {
        var k = Array.BinarySearch(curve.X, hz);
        k = Math.Clamp(k >= 0 ? k : ~k - 1, 0, curve.X.Length - 2);
        if (hz < curve.X[k] * 0.999 || hz > curve.X[k + 1] * 1.001)
            return (double.NaN, double.NaN);
        var share = Math.Log(hz / curve.X[k]) / Math.Log(curve.X[k + 1] / curve.X[k]);
        var sigma = curve.Uncertainty.Length == 0 ? 0 : curve.Uncertainty[k] / 2;
        return (curve.Y[k] + share * (curve.Y[k + 1] - curve.Y[k]), sigma);
    }

    private static Notice Rivals(ChannelResponse response, bool hasBaseline) =>
        new(
            "treble-rivals",
            $"Channel {response.Channel + 1}: too much bias, or a tape of another type than the machine is set for, takes treble as well. Response "
                + "alone cannot tell them from heads; clean the heads and try a known tape before anything is turned."
                + (hasBaseline ? "" : " Without the response of better days, flat is taken for what it should be.")
        );

    private static Reading New(ChannelResponse response, string quantity, string condition, string unit) =>
        new()
        {
            Quantity = quantity,
            Channel = response.Channel + 1,
            Condition = condition,
            Unit = unit,
            Method = Method,
            Standard = Source,
        };

    private static double Mean(double[] values) => values.Average();

    // Logarithm of a sum of exponentials.
    private static double Sum(double[] logs)
    {
        var top = logs.Max();
        return top + Math.Log(logs.Sum(l => Math.Exp(l - top)));
    }
}
