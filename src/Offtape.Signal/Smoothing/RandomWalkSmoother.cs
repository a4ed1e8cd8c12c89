namespace Offtape.Signal;

/// <summary>
/// The smooth curve through measured points of unequal sureness: the curve's slope is taken for a random walk, and how fast it walks is
/// read from the points themselves by restricted maximum likelihood (H. D. Patterson and R. Thompson, Biometrika 58(3), 1971). This is the
/// cubic smoothing spline on an even grid, as a state-space prior (W. F. Ansley and R. Kohn, Biometrika 72(1), 1985).
/// </summary>
/// <remarks>
/// The posterior is Gaussian with a five-diagonal precision matrix A = λ·DᵀVD + diag(information), D the second difference; its diagonal of
/// the inverse is had by the recursion of Takahashi on the Cholesky factor, in time linear in the number of points. An instance holds its
/// scratch: one per thread.
/// </remarks>
public sealed class RandomWalkSmoother
{
    /// <summary>The walks that are tried: process noise from this power of ten …</summary>
    private const double LowestExponent = -10;

    /// <summary>… to this, in s²/s³.</summary>
    private const double HighestExponent = -2;

    private const double ExponentStep = 0.5;

    // Far below any information that matters; keeps the matrix positive definite where nothing is known at all.
    private const double Ridge = 1e-3;

    private double[] _main = [];
    private double[] _first = [];
    private double[] _second = [];
    private double[] _diagonal = [];
    private double[] _lowerOne = [];
    private double[] _lowerTwo = [];
    private double[] _trial = [];

    /// <summary>Process noise of the last fit, in s²/s³ where values are seconds.</summary>
    public double ProcessNoise { get; private set; }

    /// <summary>Mean weighted square of the residuals and of the walk's steps of the last fit: 1 where the stated information is true.</summary>
    public double Misfit { get; private set; }

    /// <summary>Fits the curve.</summary>
    /// <param name="values">What was measured on an even grid, at least three; read only where the information is above 0.</param>
    /// <param name="information">1/σ² of each, 0 where nothing was measured.</param>
    /// <param name="stepSeconds">The grid's step.</param>
    /// <param name="relativeNoise">
    /// Process noise of each inner point against the whole (1 = as elsewhere, large = a break), one fewer at each end; empty for 1
    /// everywhere.
    /// </param>
    /// <param name="smooth">Receives the curve.</param>
    /// <param name="sigma">Receives its standard deviation.</param>
    /// <exception cref="ArgumentException">Lengths that do not fit, or fewer than three points.</exception>
    public void Fit(
        ReadOnlySpan<double> values,
        ReadOnlySpan<double> information,
        double stepSeconds,
        ReadOnlySpan<double> relativeNoise,
        Span<double> smooth,
        Span<double> sigma
    )
    {
        var n = values.Length;
        if (n < 3 || information.Length != n || smooth.Length != n || sigma.Length != n)
            throw new ArgumentException("At least three points, and as many of everything.", nameof(values));
        if (!relativeNoise.IsEmpty && relativeNoise.Length != n - 2)
            throw new ArgumentException("One for each inner point.", nameof(relativeNoise));
        Prepare(n);
        FillDifferences(relativeNoise, n);
        var (best, bestExponent) = (double.NegativeInfinity, LowestExponent);
        for (var exponent = LowestExponent; exponent <= HighestExponent + 1e-9; exponent += ExponentStep)
        {
            var likelihood = Solve(values, information, LambdaOf(exponent, stepSeconds), relativeNoise, _trial, out _);
            if (likelihood > best)
                (best, bestExponent) = (likelihood, exponent);
        }
        var lambda = LambdaOf(bestExponent, stepSeconds);
        Solve(values, information, lambda, relativeNoise, smooth, out var misfit);
        (ProcessNoise, Misfit) = (Math.Pow(10, bestExponent), misfit);
        Deviations(n, sigma);
    }

    private static double LambdaOf(double exponent, double step) => 1 / (Math.Pow(10, exponent) * step * step * step);

    private void Prepare(int n)
    {
        if (_main.Length >= n)
            return;
        (_main, _first, _second) = (new double[n], new double[n], new double[n]);
        (_diagonal, _lowerOne, _lowerTwo, _trial) = (new double[n], new double[n], new double[n], new double[n]);
    }

    /// <summary>DᵀVD: row i of D is the second difference about point i + 1.</summary>
    private void FillDifferences(ReadOnlySpan<double> relativeNoise, int n)
    {
        Array.Clear(_main, 0, n);
        Array.Clear(_first, 0, n);
        Array.Clear(_second, 0, n);
        for (var i = 0; i < n - 2; i++)
        {
            var v = relativeNoise.IsEmpty ? 1 : 1 / relativeNoise[i];
            _main[i] += v;
            _main[i + 1] += 4 * v;
            _main[i + 2] += v;
            _first[i] -= 2 * v;
            _first[i + 1] -= 2 * v;
            _second[i] += v;
        }
    }

    /// <summary>Factors A = L·diag·Lᵀ, solves for the curve and gives the log of the restricted likelihood (up to a constant).</summary>
    private double Solve(
        ReadOnlySpan<double> values,
        ReadOnlySpan<double> information,
        double lambda,
        ReadOnlySpan<double> relativeNoise,
        Span<double> curve,
        out double misfit
    )
    {
        var n = values.Length;
        double logDeterminant = 0;
        for (var i = 0; i < n; i++)
        {
            var d = _main[i] * lambda + information[i] + Ridge;
            var one = i + 1 < n ? _first[i] * lambda : 0;
            var two = i + 2 < n ? _second[i] * lambda : 0;
            if (i >= 1)
            {
                d -= _lowerOne[i - 1] * _lowerOne[i - 1] * _diagonal[i - 1];
                one -= _lowerOne[i - 1] * _lowerTwo[i - 1] * _diagonal[i - 1];
            }
            if (i >= 2)
                d -= _lowerTwo[i - 2] * _lowerTwo[i - 2] * _diagonal[i - 2];
            // Rounding may eat a pivot where information is scarce and the prior stiff; the ridge is what it is worth then.
            d = Math.Max(d, Ridge);
            _diagonal[i] = d;
            _lowerOne[i] = one / d;
            _lowerTwo[i] = two / d;
            logDeterminant += Math.Log(d);
            var right = information[i] > 0 ? information[i] * values[i] : 0;
            if (i >= 1)
                right -= _lowerOne[i - 1] * curve[i - 1];
            if (i >= 2)
                right -= _lowerTwo[i - 2] * curve[i - 2];
            curve[i] = right;
        }
        for (var i = n - 1; i >= 0; i--)
        {
            var value = curve[i] / _diagonal[i];
            if (i + 1 < n)
                value -= _lowerOne[i] * curve[i + 1];
            if (i + 2 < n)
                value -= _lowerTwo[i] * curve[i + 2];
            curve[i] = value;
        }
        double sum = 0;
        var measured = 0;
        for (var i = 0; i < n; i++)
        {
            if (information[i] > 0)
            {
                sum += information[i] * (values[i] - curve[i]) * (values[i] - curve[i]);
                measured++;
            }
        }
        for (var i = 0; i < n - 2; i++)
        {
            var bend = curve[i] - 2 * curve[i + 1] + curve[i + 2];
            sum += lambda * bend * bend * (relativeNoise.IsEmpty ? 1 : 1 / relativeNoise[i]);
        }
        misfit = sum / Math.Max(measured - 2, 1);
        return 0.5 * (n - 2) * Math.Log(lambda) - 0.5 * logDeterminant - 0.5 * sum;
    }

    // K. Takahashi, J. Fagan and M. Chen, 8th PICA Conference, 1973: the band of the inverse from the factor, last row first.
    private void Deviations(int n, Span<double> sigma)
    {
        double nextNext = 0,
            next = 0,
            between = 0;
        for (var i = n - 1; i >= 0; i--)
        {
            var (one, two) = (i + 1 < n ? _lowerOne[i] : 0, i + 2 < n ? _lowerTwo[i] : 0);
            // Entries (i, i+2), (i, i+1), (i, i) of the inverse; "between" is (i+1, i+2).
            var withSecond = -one * between - two * nextNext;
            var withFirst = -one * next - two * between;
            var own = 1 / _diagonal[i] - one * withFirst - two * withSecond;
            sigma[i] = Math.Sqrt(Math.Max(own, 0));
            (nextNext, next, between) = (next, own, withFirst);
        }
    }
}
