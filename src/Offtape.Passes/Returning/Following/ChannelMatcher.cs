using Offtape.Base;
using Offtape.Passes.Listening;
using Offtape.Signal;

namespace Offtape.Passes.Following;

/// <summary>
/// Tells which channel of a capture holds which channel of the source, with polarity, delay and gain: from cross-spectra summed along the
/// path, weighted by their own coherence (Hannan and Thomson, Biometrika 60(3), 1973), so that hiss and the turned phase of the lowest
/// notes have no say.
/// </summary>
internal sealed class ChannelMatcher
{
    private const int WindowFrames = NoiseSpectrum.WindowFrames;
    private const int TransformLength = NoiseSpectrum.TransformLength;
    private const int MostWindows = 400;
    private const int FineLength = TransformLength * 16;
    private const double LowHz = 60;
    private const double HighHz = 6000;
    private const double TaperHz = 220;
    private const double ReachSeconds = 3e-3;
    private const double QuietestDb = 35;

    // Crosstalk holds a sound too, far fainter.
    private const double TwinShare = 0.7;
    private const double TwinGain = 0.3;

    private readonly RealTransform _transform = new(TransformLength);
    private readonly RealTransform _fine = new(FineLength);
    private readonly PathReader _along = new(WorkingSignal.UsualRateHz);
    private readonly float[] _window = new float[WindowFrames];
    private readonly float[] _padded = new float[TransformLength];
    private readonly int _bins;

    internal ChannelMatcher()
    {
        Windows.Hann(_window, WindowForm.Symmetric);
        _bins = _transform.BinCount;
    }

    /// <summary>Matches the channels of a followed take among the allowed channels of its capture.</summary>
    internal ChannelMatches Match(FollowedTake take, IReadOnlyList<int> captureChannels, CancellationToken cancellation)
    {
        using var sourceEar = new Ear(take.Source.Recording, take.NominalSpeed, take.IsReversed);
        using var captureEar = new Ear(take.Capture.Recording);
        var sums = Accumulate(take, sourceEar, captureEar, captureChannels, cancellation);
        var sourceCount = sourceEar.ChannelCount;
        var pairs = new ChannelMatch[sourceCount, captureChannels.Count];
        for (var i = 0; i < sourceCount; i++)
        {
            for (var j = 0; j < captureChannels.Count; j++)
                pairs[i, j] = Pair(sums, i, j, captureChannels[j]);
        }
        var isOrderKnown = sourceCount > 1 && captureChannels.Count > 1 && !sums.AreSourcesAlike();
        var chosen = isOrderKnown ? BestAssignment(pairs) : Straight(pairs);
        return new ChannelMatches
        {
            Channels = chosen,
            IsOrderKnown = isOrderKnown,
            Twin = sourceCount == 1 ? TwinOf(pairs, chosen[0]) : null,
            InterchannelDelaySeconds = InterchannelDelay(pairs, chosen, isOrderKnown),
        };
    }

    private static ChannelMatch? TwinOf(ChannelMatch[,] pairs, ChannelMatch chosen)
    {
        ChannelMatch? twin = null;
        for (var j = 0; j < pairs.GetLength(1); j++)
        {
            var pair = pairs[0, j];
            if (pair.CaptureChannel != chosen.CaptureChannel && pair.Coherence > (twin?.Coherence ?? TwinShare * chosen.Coherence))
                twin = pair;
        }
        return twin?.Gain > TwinGain * chosen.Gain ? twin : null;
    }

    private static double? InterchannelDelay(ChannelMatch[,] pairs, ChannelMatch[] chosen, bool isOrderKnown)
    {
        if (pairs.GetLength(1) < 2)
            return null;
        ChannelMatch first,
            second;
        if (isOrderKnown && chosen.Length >= 2)
        {
            (first, second) = chosen[0].CaptureChannel < chosen[1].CaptureChannel ? (chosen[0], chosen[1]) : (chosen[1], chosen[0]);
        }
        else
        {
            var row = pairs.GetLength(0) > 1 && pairs[0, 0].Coherence < 0.1 ? 1 : 0;
            (first, second) = (
                pairs[row, 0],
                pairs[pairs.GetLength(0) > 1 && pairs[1, 1].Coherence > pairs[row, 1].Coherence ? 1 : row, 1]
            );
        }
        return first.Coherence > 0.3 && second.Coherence > 0.3 ? second.DelaySeconds - first.DelaySeconds : null;
    }

    // A mono source, or one whose channels are alike: the channels as they lie; for mono the clearest, the first where they are as good.
    private static ChannelMatch[] Straight(ChannelMatch[,] pairs)
    {
        var (sourceCount, captureCount) = (pairs.GetLength(0), pairs.GetLength(1));
        var chosen = new ChannelMatch[sourceCount];
        for (var i = 0; i < sourceCount; i++)
        {
            if (sourceCount > 1 && captureCount >= sourceCount && pairs[i, i].Coherence > 0.3)
            {
                chosen[i] = pairs[i, i];
                continue;
            }
            chosen[i] = pairs[i, 0];
            for (var j = 1; j < captureCount; j++)
                chosen[i] = pairs[i, j].Coherence > chosen[i].Coherence + 0.03 ? pairs[i, j] : chosen[i];
        }
        return chosen;
    }

    /// <summary>The assignment with the greatest sum of coherences, each capture channel once while there are enough.</summary>
    private static ChannelMatch[] BestAssignment(ChannelMatch[,] pairs)
    {
        var (sourceCount, captureCount) = (pairs.GetLength(0), pairs.GetLength(1));
        if (sourceCount == 2)
        {
            var (best, bestSum) = (new ChannelMatch[2], double.NegativeInfinity);
            for (var a = 0; a < captureCount; a++)
            {
                for (var b = 0; b < captureCount; b++)
                {
                    if (a != b && pairs[0, a].Coherence + pairs[1, b].Coherence > bestSum)
                        (best, bestSum) = ([pairs[0, a], pairs[1, b]], pairs[0, a].Coherence + pairs[1, b].Coherence);
                }
            }
            return best;
        }
        var chosen = new ChannelMatch?[sourceCount];
        var taken = new HashSet<int>();
        var all = new List<ChannelMatch>();
        foreach (var pair in pairs)
            all.Add(pair);
        foreach (var pair in all.OrderByDescending(p => p.Coherence))
        {
            if (chosen[pair.SourceChannel] is null && (taken.Count >= captureCount || !taken.Contains(pair.CaptureChannel)))
            {
                chosen[pair.SourceChannel] = pair;
                taken.Add(pair.CaptureChannel);
            }
        }
        return [.. chosen.Select((c, i) => c ?? pairs[i, Math.Min(i, captureCount - 1)])];
    }

    private CrossSums Accumulate(
        FollowedTake take,
        Ear sourceEar,
        Ear captureEar,
        IReadOnlyList<int> captureChannels,
        CancellationToken cancellation
    )
    {
        var sums = new CrossSums(sourceEar.ChannelCount, captureChannels.Count, _bins);
        var level = LevelCurve.Of(sourceEar.Channel(take.SourceChannel), cancellation);
        var centres = new List<double>();
        for (var t = take.FirstHeard; t <= take.LastHeard; t += 0.02)
        {
            if (level.DbAt(t) > level.PeakDb - QuietestDb)
                centres.Add(t);
        }
        var stride = Math.Max(1, centres.Count / MostWindows);
        // Parseval: a mean square becomes this much over half the bins of a Hann window (energy 0.375 of its length).
        var leastPower = Conversions.DbToPower(level.PeakDb - QuietestDb) * WindowFrames * 0.375 * TransformLength / 2;
        var (sourceRe, sourceIm) = (sums.NewSpectra(sourceEar.ChannelCount), sums.NewSpectra(sourceEar.ChannelCount));
        var (captureRe, captureIm) = (sums.NewSpectra(captureChannels.Count), sums.NewSpectra(captureChannels.Count));
        for (var w = 0; w < centres.Count; w += stride)
        {
            cancellation.ThrowIfCancellationRequested();
            var frame = (long)Math.Round(centres[w] * WorkingSignal.UsualRateHz);
            for (var i = 0; i < sourceRe.Length; i++)
            {
                sourceEar.Channel(i).Read(frame - WindowFrames / 2, _padded.AsSpan(0, WindowFrames));
                Transform(sourceRe[i], sourceIm[i]);
            }
            for (var j = 0; j < captureRe.Length; j++)
            {
                _along.Read(
                    captureEar.Channel(captureChannels[j]),
                    take.Curve,
                    frame / WorkingSignal.UsualRateHz,
                    _padded.AsSpan(0, WindowFrames)
                );
                Transform(captureRe[j], captureIm[j]);
            }
            sums.Add(sourceRe, sourceIm, captureRe, captureIm, leastPower);
        }
        return sums;
    }

    private void Transform(float[] re, float[] im)
    {
        for (var i = 0; i < WindowFrames; i++)
            _padded[i] *= _window[i];
        _padded.AsSpan(WindowFrames).Clear();
        _transform.Forward(_padded, re, im);
    }

    private ChannelMatch Pair(CrossSums sums, int i, int j, int captureChannel)
    {
        var (re, im) = (new float[FineLength / 2 + 1], new float[FineLength / 2 + 1]);
        double weightSum = 0,
            coherenceSum = 0,
            coherenceWeight = 0,
            gainTop = 0,
            gainBottom = 0;
        var first = (int)Math.Ceiling(LowHz * TransformLength / WorkingSignal.UsualRateHz);
        var end = Math.Min(_bins, (int)(HighHz * TransformLength / WorkingSignal.UsualRateHz));
        for (var k = first; k < end; k++)
        {
            var (crossRe, crossIm, source, capture) = sums.Smoothed(i, j, k);
            if (source <= 0 || capture <= 0)
                continue;
            var squared = Math.Min((crossRe * crossRe + crossIm * crossIm) / (source * capture), 0.9999);
            // A finite sum of noise is coherent by chance: take off what so few windows give by themselves.
            squared = Math.Max(0, (squared - sums.ChanceCoherence) / (1 - sums.ChanceCoherence));
            var hertz = k * WorkingSignal.UsualRateHz / TransformLength;
            var taper = hertz * hertz / (hertz * hertz + TaperHz * TaperHz);
            var weight = taper * squared / (1 - squared + 0.02);
            var magnitude = Math.Sqrt(crossRe * crossRe + crossIm * crossIm) + 1e-30;
            (re[k], im[k]) = ((float)(weight * crossRe / magnitude), (float)(weight * crossIm / magnitude));
            weightSum += weight;
            // Log-frequency weight, so that the many bins of the top octave do not outvote the rest.
            coherenceSum += squared / hertz;
            coherenceWeight += 1 / hertz;
            gainTop += magnitude;
            gainBottom += source;
        }
        if (weightSum <= 0)
            return new ChannelMatch(i, captureChannel, 1, 0, 0, 0);
        var correlation = new float[FineLength];
        _fine.Inverse(re, im, correlation);
        var reach = (int)(ReachSeconds * WorkingSignal.UsualRateHz * 16);
        var peak = 0;
        for (var lag = -reach; lag <= reach; lag++)
        {
            if (Math.Abs(correlation[lag & (FineLength - 1)]) > Math.Abs(correlation[peak & (FineLength - 1)]))
                peak = lag;
        }
        var sign = correlation[peak & (FineLength - 1)] < 0 ? -1 : 1;
        var (a, b, c) = (
            sign * correlation[(peak - 1) & (FineLength - 1)],
            sign * correlation[peak & (FineLength - 1)],
            sign * correlation[(peak + 1) & (FineLength - 1)]
        );
        var curvature = a - 2 * b + c;
        var offset = curvature < 0 ? 0.5 * (a - c) / curvature : 0;
        return new ChannelMatch(
            i,
            captureChannel,
            sign,
            (peak + offset) / (WorkingSignal.UsualRateHz * 16),
            coherenceSum / coherenceWeight,
            gainTop / gainBottom
        );
    }
}
