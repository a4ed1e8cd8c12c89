namespace Offtape.Signal;

/// <summary>
/// Turns a recorded tone of any frequency from 300 Hz to 10 kHz into the curve of its frequency. The tone is shifted to 0 Hz through a
/// band of 550 Hz on either side (less below 1 kHz, so that hum stays outside), the phase from value to value gives the frequency, and a
/// linear-phase filter keeps what is as slow as 200 Hz. Channels are joined by their noise; where one has a gap the others lead, and where
/// all have one the curve is a straight line and marked. No latency: value and moment belong together.
/// </summary>
public static class ToneDemodulator
{
    // Level and frequency on either side of a gap are means over this long.
    private const double ShoulderSeconds = 0.01;

    // A channel with ten times the noise of the best says nothing that the best does not say better.
    private const double LeastAlike = 0.1;

    /// <param name="channels">Recordings of one tone, of one length.</param>
    /// <param name="sampleRateHz">Their rate, 4800 Hz or more.</param>
    /// <param name="frequencyHz">About what frequency the tone has, within 5 %.</param>
    /// <returns>The curve; null where there are too few frames for one.</returns>
    public static ToneCurve? Demodulate(IReadOnlyList<ReadOnlyMemory<float>> channels, int sampleRateHz, double frequencyHz)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(sampleRateHz, 4800);
        if (!(frequencyHz > 0 && frequencyHz < 0.45 * sampleRateHz))
            throw new ArgumentOutOfRangeException(nameof(frequencyHz), frequencyHz, "A tone lies above 0 and below 0.45 of the rate.");
        var band = new ToneBand(sampleRateHz, frequencyHz);
        if (ToneTrack.CountOf(channels[0].Length, band) < band.After.Length + 128)
            return null;
        var tracks = new ToneTrack[channels.Count];
        Parallel.For(0, tracks.Length, i => tracks[i] = ToneTrack.Of(channels[i].Span, band));
        return Join(tracks, band);
    }

    private static ToneCurve Join(ToneTrack[] tracks, ToneBand band)
    {
        var weights = Array.ConvertAll(tracks, t => Weight(t, band));
        var count = tracks[0].DeviationHz.Length;
        var (deviation, level, isGap) = (new double[count], new double[count], new bool[count]);
        for (var i = 0; i < count; i++)
        {
            var (sum, hz, nepers) = (0.0, 0.0, 0.0);
            for (var t = 0; t < tracks.Length; t++)
            {
                if (tracks[t].IsGap[i])
                    continue;
                sum += weights[t];
                hz += weights[t] * tracks[t].DeviationHz[i];
                nepers += weights[t] * tracks[t].Level[i];
            }
            isGap[i] = !(sum > 0);
            (deviation[i], level[i]) = isGap[i] ? (0, 0) : (hz / sum, nepers / sum);
        }
        Bridge(deviation, isGap, band);
        Bridge(level, isGap, band);
        var density = ToneNoise.Density(deviation, level, isGap, band);
        var frequency = FrequencyHz(deviation, band);
        // A step belongs to the moment half a step after the value that it leads from.
        var lost = band.After.Length / 2;
        var start = (band.Before.Length / 2 + (lost + 0.5) * band.Step) / band.SampleRateHz;
        return new ToneCurve(band, start, frequency, ToneSmoother.Of(level, band), isGap[lost..^lost])
        {
            PhaseNoiseDensity = double.IsFinite(density) ? density : 0,
            AlikeHz = Alike(tracks, weights, deviation, isGap, band) is { } alike ? FrequencyHz(alike, band) : frequency,
        };
    }

    private static double[] FrequencyHz(double[] deviationHz, ToneBand band)
    {
        var frequency = ToneSmoother.OfSteps(deviationHz, band);
        for (var i = 0; i < frequency.Length; i++)
            frequency[i] += band.FrequencyHz;
        return frequency;
    }

    /// <summary>
    /// The mean of all channels that are nearly as free of noise as the best, none counting more than another. Null where there are no two of them.
    /// </summary>
    private static double[]? Alike(ToneTrack[] tracks, double[] weights, double[] joinedHz, bool[] isGap, ToneBand band)
    {
        var best = weights.Max();
        var good = tracks.Where((_, t) => weights[t] > 0 && weights[t] >= LeastAlike * best).ToArray();
        if (good.Length < 2)
            return null;
        var mean = new double[joinedHz.Length];
        foreach (var track in good)
        {
            var own = WithoutGaps(track, joinedHz, isGap, band);
            for (var i = 0; i < mean.Length; i++)
                mean[i] += own[i] / good.Length;
        }
        return mean;
    }

    /// <summary>
    /// A channel whose gaps are filled with what the others say, and with what it came early or late itself meanwhile: its phase is known on
    /// either side, and the channels do not part by half a turn.
    /// </summary>
    private static double[] WithoutGaps(ToneTrack track, double[] joinedHz, bool[] isGap, ToneBand band)
    {
        var own = (double[])track.DeviationHz.Clone();
        for (var from = 0; from < own.Length; from++)
        {
            if (!track.IsGap[from])
                continue;
            var (to, turns, isLost) = (from, 0.0, false);
            for (; to < own.Length && track.IsGap[to]; to++)
            {
                turns += (own[to] - joinedHz[to]) / band.RateHz;
                isLost |= isGap[to];
            }
            var apart = isLost || from == 0 || to == own.Length ? 0 : Math.IEEERemainder(turns, 1) * band.RateHz / (to - from);
            for (; from < to; from++)
                own[from] = joinedHz[from] + apart;
        }
        return own;
    }

    // A channel counts by how little noise it has; one without a tone not at all.
    private static double Weight(ToneTrack track, ToneBand band)
    {
        if (!(track.Amplitude > 1e-6))
            return 0;
        var density = ToneNoise.Density(track.DeviationHz, track.Level, track.IsGap, band);
        return 1 / Math.Max(double.IsFinite(density) ? density : 1, 1e-18);
    }

    private static void Bridge(double[] values, bool[] isGap, ToneBand band)
    {
        var shoulder = Math.Max(1, (int)(ShoulderSeconds * band.RateHz));
        for (var from = 0; from < values.Length; from++)
        {
            if (!isGap[from])
                continue;
            var to = from;
            while (to < values.Length && isGap[to])
                to++;
            var before = Mean(values, isGap, from - 1, -1, shoulder);
            var behind = Mean(values, isGap, to, 1, shoulder);
            var (left, right) = (before ?? behind ?? 0, behind ?? before ?? 0);
            for (var i = from; i < to; i++)
                values[i] = left + (right - left) * (i - from + 0.5) / (to - from);
            from = to;
        }
    }

    private static double? Mean(double[] values, bool[] isGap, int from, int direction, int most)
    {
        var (sum, count) = (0.0, 0);
        for (var i = from; i >= 0 && i < values.Length && count < most && !isGap[i]; i += direction)
        {
            sum += values[i];
            count++;
        }
        return count == 0 ? null : sum / count;
    }
}
