namespace Offtape.Testing;

/// <summary>Assertions that say what was wanted, how near it had to be, and what was measured.</summary>
public static class Measured
{
    public static void Within(double wanted, double got, double tolerance, string what = "value")
    {
        if (!(Math.Abs(got - wanted) <= tolerance))
            throw new InvalidOperationException(
                $"{what}: wanted {wanted:R} within {tolerance:R}, measured {got:R} (off by {got - wanted:R})."
            );
    }

    public static void AtMost(double limit, double got, string what = "value")
    {
        if (!(got <= limit))
            throw new InvalidOperationException($"{what}: wanted at most {limit:R}, measured {got:R}.");
    }

    public static void AtLeast(double limit, double got, string what = "value")
    {
        if (!(got >= limit))
            throw new InvalidOperationException($"{what}: wanted at least {limit:R}, measured {got:R}.");
    }
}
