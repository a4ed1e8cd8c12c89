namespace Offtape.Passes.Following;

/// <summary>
/// The path of a source through a capture as tracked, one point a window: both times in seconds of the working signals it was tracked in.
/// </summary>
internal sealed class TrackedPath
{
    internal required double[] CaptureSeconds { get; init; }

    internal required double[] SourceSeconds { get; init; }

    /// <summary>Source seconds per capture second.</summary>
    internal required double[] Speed { get; init; }

    internal required double[] SigmaSeconds { get; init; }

    /// <summary>Peak of the whitened correlation over its bound, 0 to 1; 0 where no peak was taken.</summary>
    internal required float[] Strength { get; init; }

    /// <summary>What each window adds to <see cref="LogLikelihood"/>.</summary>
    internal required double[] Gain { get; init; }

    /// <summary>Where the tape stood still in the middle of the sound, in order.</summary>
    internal IReadOnlyList<TapeStand> Stands { get; init; } = [];

    /// <summary>True where the source sounds enough to be followed.</summary>
    internal required bool[] IsSounding { get; init; }

    /// <summary>Log-likelihood ratio of the winner against "nothing there", in nats.</summary>
    internal required double LogLikelihood { get; init; }

    /// <summary>Share of the sounding windows in which the winner took no peak.</summary>
    internal double LostShare
    {
        get
        {
            int sounding = 0,
                lost = 0;
            for (var i = 0; i < Strength.Length; i++)
            {
                if (!IsSounding[i])
                    continue;
                sounding++;
                if (Strength[i] == 0)
                    lost++;
            }
            return sounding == 0 ? 1 : (double)lost / sounding;
        }
    }

    /// <summary>Mean strength over the sounding windows.</summary>
    internal double MeanStrength
    {
        get
        {
            double sum = 0;
            var sounding = 0;
            for (var i = 0; i < Strength.Length; i++)
            {
                if (!IsSounding[i])
                    continue;
                sounding++;
                sum += Strength[i];
            }
            return sounding == 0 ? 0 : sum / sounding;
        }
    }

    /// <summary>
    /// A path that was tracked backwards from an anchor, joined with the one tracked forwards from it.
    /// </summary>
    /// <param name="back">In seconds of signals read backwards, whose second 0 is the end.</param>
    /// <param name="sourceEnd">The end of the source, seconds.</param>
    /// <param name="captureEnd">The end of the capture, seconds.</param>
    /// <param name="forward">From the anchor on.</param>
    internal static TrackedPath Join(TrackedPath back, double sourceEnd, double captureEnd, TrackedPath forward)
    {
        // The first window of each stands at the anchor: the forward one stays.
        var n = Math.Max(0, back.CaptureSeconds.Length - 1);
        T[] Glue<T>(T[] head, T[] tail, Func<T, T> turn)
        {
            var all = new T[n + tail.Length];
            for (var i = 0; i < n; i++)
                all[i] = turn(head[n - i]);
            tail.CopyTo(all, n);
            return all;
        }
        return new TrackedPath
        {
            CaptureSeconds = Glue(back.CaptureSeconds, forward.CaptureSeconds, t => captureEnd - t),
            SourceSeconds = Glue(back.SourceSeconds, forward.SourceSeconds, s => sourceEnd - s),
            Speed = Glue(back.Speed, forward.Speed, u => u),
            SigmaSeconds = Glue(back.SigmaSeconds, forward.SigmaSeconds, s => s),
            Strength = Glue(back.Strength, forward.Strength, s => s),
            Gain = Glue(back.Gain, forward.Gain, g => g),
            IsSounding = Glue(back.IsSounding, forward.IsSounding, s => s),
            LogLikelihood = back.LogLikelihood + forward.LogLikelihood,
        };
    }

    /// <summary>Paths of islands of sound, in order, with points a second apart on straight lines through the rests between them.</summary>
    /// <param name="paths">In order, none empty.</param>
    /// <param name="speed">The mean one.</param>
    internal static TrackedPath OverRests(IReadOnlyList<TrackedPath> paths, double speed)
    {
        var (capture, source, speeds, sigma) = (new List<double>(), new List<double>(), new List<double>(), new List<double>());
        var (strength, gain, isSounding) = (new List<float>(), new List<double>(), new List<bool>());
        foreach (var path in paths)
        {
            if (capture.Count > 0)
                Rest(path.CaptureSeconds[0], path.SourceSeconds[0]);
            capture.AddRange(path.CaptureSeconds);
            source.AddRange(path.SourceSeconds);
            speeds.AddRange(path.Speed);
            sigma.AddRange(path.SigmaSeconds);
            strength.AddRange(path.Strength);
            gain.AddRange(path.Gain);
            isSounding.AddRange(path.IsSounding);
        }
        return new TrackedPath
        {
            CaptureSeconds = [.. capture],
            SourceSeconds = [.. source],
            Speed = [.. speeds],
            SigmaSeconds = [.. sigma],
            Strength = [.. strength],
            Gain = [.. gain],
            IsSounding = [.. isSounding],
            LogLikelihood = paths.Sum(p => p.LogLikelihood),
        };

        void Rest(double toCapture, double toSource)
        {
            var (fromCapture, fromSource) = (capture[^1], source[^1]);
            var length = toSource - fromSource;
            var count = (int)(length / RestStepSeconds);
            for (var i = 1; i <= count; i++)
            {
                var share = i / (count + 1.0);
                capture.Add(fromCapture + share * (toCapture - fromCapture));
                source.Add(fromSource + share * length);
                speeds.Add(speed);
                sigma.Add(RestWander * length * Math.Min(share, 1 - share));
                strength.Add(0);
                gain.Add(0);
                isSounding.Add(false);
            }
        }
    }

    private const double RestStepSeconds = 1;

    // How far a tape strays from a straight line of a rest, of the time from its nearer end.
    private const double RestWander = 1e-3;
}
