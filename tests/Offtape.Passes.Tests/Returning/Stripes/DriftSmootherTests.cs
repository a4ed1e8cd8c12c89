using Offtape.Passes.Mapping;

namespace Offtape.Passes.Tests.Returning.Stripes;

/// <summary>
/// The smoother against the whole Gaussian: a constant and a process of covariance A²·(1 + λ|t|)·e^(−λ|t|) (Matérn 3/2; Rasmussen and Williams,
/// Gaussian Processes for Machine Learning, 2006, eq. 4.17 with λ = √3/ℓ), whose mean and variance given the points are textbook linear algebra.
/// </summary>
public sealed class DriftSmootherTests
{
    [Fact]
    public void Curve_deviation_and_likelihood_are_those_of_the_whole_Gaussian()
    {
        const int n = 40;
        const double step = 0.1,
            constant = 9;
        var model = new DriftModel(4, 1.7);
        var random = new Random(5);
        var (values, information) = (new double[n], new double[n]);
        for (var i = 0; i < n; i++)
        {
            values[i] = 3 * Math.Sin(0.4 * i) + random.NextDouble();
            // A gap in the middle, and points of very different worth.
            information[i] = i is >= 14 and < 24 ? 0 : 0.5 + 20 * random.NextDouble();
        }
        var (curve, sigma) = (new double[n], new double[n]);
        var likelihood = DriftSmoother.Fit(values, information, step, model, constant, curve, sigma);
        var (expected, deviation, expectedLikelihood) = Whole(values, information, step, model, constant);
        for (var i = 0; i < n; i++)
        {
            // Both are doubles; 40 points of a well-conditioned covariance keep ten digits.
            Assert.Equal(expected[i], curve[i], 1e-8);
            Assert.Equal(deviation[i], sigma[i], 1e-7);
        }
        Assert.Equal(expectedLikelihood, likelihood, 1e-7);
    }

    private static (double[] Mean, double[] Sigma, double Likelihood) Whole(
        double[] values,
        double[] information,
        double step,
        DriftModel model,
        double constant
    )
    {
        double Covariance(int i, int j)
        {
            var turn = model.Rate * step * Math.Abs(i - j);
            return constant + model.Variance * (1 + turn) * Math.Exp(-turn);
        }
        var known = Enumerable.Range(0, values.Length).Where(i => information[i] > 0).ToArray();
        var m = known.Length;
        // Cholesky: L·Lᵀ = covariance of the measured points and their noise.
        var l = new double[m, m];
        for (var i = 0; i < m; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                var sum = Covariance(known[i], known[j]) + (i == j ? 1 / information[known[i]] : 0);
                for (var k = 0; k < j; k++)
                    sum -= l[i, k] * l[j, k];
                l[i, j] = i == j ? Math.Sqrt(sum) : sum / l[j, j];
            }
        }
        double[] Forward(Func<int, double> right)
        {
            var x = new double[m];
            for (var i = 0; i < m; i++)
            {
                x[i] = right(i);
                for (var k = 0; k < i; k++)
                    x[i] -= l[i, k] * x[k];
                x[i] /= l[i, i];
            }
            return x;
        }
        var white = Forward(i => values[known[i]]);
        var (mean, sigma) = (new double[values.Length], new double[values.Length]);
        for (var p = 0; p < values.Length; p++)
        {
            var cross = Forward(i => Covariance(p, known[i]));
            mean[p] = cross.Zip(white, (a, b) => a * b).Sum();
            sigma[p] = Math.Sqrt(Covariance(p, p) - cross.Sum(c => c * c));
        }
        var logs = Enumerable.Range(0, m).Sum(i => Math.Log(l[i, i]));
        return (mean, sigma, -0.5 * white.Sum(w => w * w) - logs);
    }
}
