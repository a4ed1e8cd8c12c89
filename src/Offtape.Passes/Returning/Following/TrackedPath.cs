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
}
