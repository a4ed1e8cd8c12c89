using System.Numerics;

namespace Offtape.Web.Listening;

/// <summary>The binomial distribution of right answers by guessing: each of n is right with probability one half.</summary>
public static class GuessingOdds
{
    /// <summary>Exact up to the last rounding to a double: beyond this the whole numbers would take long.</summary>
    public const int MostTrials = 1000;

    /// <summary>Probability of at least so many right answers by guessing: Σ from i = right to n of C(n, i) ÷ 2^n.</summary>
    /// <param name="right">0 to <paramref name="trials"/>.</param>
    /// <param name="trials">0 to <see cref="MostTrials"/>.</param>
    public static double AtLeast(int right, int trials)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(right);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(right, trials);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(trials, MostTrials);
        var (ways, sum) = (BigInteger.One, BigInteger.Zero);
        // C(n, i + 1) = C(n, i)·(n − i) ÷ (i + 1), always whole.
        for (var i = 0; i <= trials; i++)
        {
            if (i >= right)
                sum += ways;
            ways = ways * (trials - i) / (i + 1);
        }
        // Both halved until they fit a double; what is shifted out lies below its last digit.
        var shift = Math.Max(0, (int)sum.GetBitLength() - 64);
        return Math.ScaleB((double)(ulong)(sum >> shift), shift - trials);
    }

    /// <summary>The fewest right answers of so many that guessing reaches with a probability of at most <paramref name="most"/>; null where not even all right do.</summary>
    public static int? Needed(int trials, double most)
    {
        for (var right = 0; right <= trials; right++)
        {
            if (AtLeast(right, trials) <= most)
                return right;
        }
        return null;
    }
}
