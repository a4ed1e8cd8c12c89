using Offtape.Passes.Following;
using Offtape.Signal;

namespace Offtape.Passes.Mapping;

/// <summary>
/// Where a stripe ran along, it leads: its map holds for every track of its run, but for a slow difference between the tracks (azimuth),
/// which the take's own sound tells. Where the stripe itself was lost for a moment, the sound fills in.
/// </summary>
internal static class StripeLead
{
    private const double KnotSeconds = 0.0025;

    // Further than this no two tracks of one head stand apart: what says so followed something else.
    private const double FarthestSeconds = 1e-3;

    // A track whose sound is too faint to be compared: heads out of line by some ten minutes of arc over a track or two of a cassette (judged, no source).
    private const double UnknownLagSeconds = 30e-6;

    // Where both maps agree to this many sigmas each adds to the other; else the stripe is believed.
    private const double Agreement = 4;

    /// <summary>The path to begin with: the stripe's, with the constant lag by which the sound was tracked.</summary>
    internal static FollowedTake Coarse(FollowedTake take, StripeGuide? guide) =>
        guide is null || take.Stands.Count != guide.Stripe.Take.Stands.Count
            ? take
            : take with
            {
                Curve = guide.Curve.Shifted(Lag(take.Curve, guide.Curve)),
            };

    /// <summary>The joint map.</summary>
    /// <param name="bySound">The take along its own fine map, or as tracked where it has none.</param>
    /// <param name="own">Its fine map; null where the take was too short or too faint for one.</param>
    /// <param name="guide">The stripe.</param>
    /// <param name="shared">What all takes of the run know of the machine.</param>
    /// <param name="cancellation">Stops it.</param>
    internal static FollowedTake Join(
        FollowedTake bySound,
        FineMap? own,
        StripeGuide guide,
        ResponseEvidence? shared,
        CancellationToken cancellation
    )
    {
        var drift = own is null
            ? null
            : TrackDrift.Of(own.Against(guide.Curve, Lag(bySound.Curve, guide.Curve), shared, cancellation), guide.Curve);
        var count = Math.Max(2, (int)Math.Ceiling((bySound.LastHeard - bySound.FirstHeard) / KnotSeconds) + 1);
        var (source, capture, sigma) = (new double[count], new double[count], new double[count]);
        for (var i = 0; i < count; i++)
        {
            var s = source[i] = i == count - 1 ? bySound.LastHeard : bySound.FirstHeard + i * KnotSeconds;
            var (lag, lagSigma) = drift?.At(s) ?? (0, UnknownLagSeconds);
            var (stripe, stripeSigma) = (guide.Curve.CaptureAt(s) + lag, guide.Curve.SigmaAt(s));
            capture[i] = stripe;
            sigma[i] = Math.Sqrt(stripeSigma * stripeSigma + lagSigma * lagSigma);
            if (drift is null)
                continue;
            // Moment by moment the two err apart: the stripe by its noise, the sound by its own.
            var (sound, soundSigma) = (bySound.Curve.CaptureAt(s), bySound.Curve.SigmaAt(s));
            var (a, b) = (stripeSigma * stripeSigma, soundSigma * soundSigma);
            if (Math.Abs(sound - stripe) > Agreement * Math.Sqrt(a + b + lagSigma * lagSigma))
                continue;
            capture[i] += a / (a + b) * (sound - stripe);
            sigma[i] = Math.Sqrt(a * b / (a + b) + lagSigma * lagSigma);
        }
        return bySound with
        {
            Curve = PathCurve.Of(source, capture, sigma),
            Stripe = new StripeLink
            {
                Stripe = guide.Stripe,
                Item = guide.Item,
                Drift = drift,
            },
        };
    }

    /// <summary>How much later a path is than the stripe's, for the most part; 0 where that cannot be.</summary>
    private static double Lag(PathCurve path, PathCurve guide)
    {
        const int count = 501;
        var (first, last) = (Math.Max(path.FirstSource, guide.FirstSource), Math.Min(path.LastSource, guide.LastSource));
        var lags = new double[count];
        for (var i = 0; i < count; i++)
        {
            var s = first + (last - first) * i / (count - 1);
            lags[i] = path.CaptureAt(s) - guide.CaptureAt(s);
        }
        Array.Sort(lags);
        var median = lags[count / 2];
        return Math.Abs(median) < FarthestSeconds ? median : 0;
    }
}
