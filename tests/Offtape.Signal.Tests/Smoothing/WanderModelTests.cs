using Offtape.Signal;
using Offtape.Testing;

namespace Offtape.Signal.Tests.Smoothing;

/// <summary>Checks how much a window blurs against the double sum over the covariance of the model, cell by cell.</summary>
public sealed class WanderModelTests
{
    /// <summary>
    /// E(x₀ − Σw·x)² of an Ornstein–Uhlenbeck process, Cov = σ²·e^(−|t|/T), and of a walk of slope that is still at the middle, Cov =
    /// q·m²·(3M − m)/6 on either side. The closed form takes the exponential's first order: 3 % at a tenth of its time.
    /// </summary>
    [Theory]
    [InlineData(0, 5e-6, 0.0427, 0.16)]
    [InlineData(0, 5e-6, 0.0107, 0.05)]
    [InlineData(1e-4, 0, 0.0427, 0.01)]
    [InlineData(3e-5, 2e-6, 0.0107, 0.05)]
    public void Blur_is_the_double_sum_over_the_covariance(double walk, double tremble, double window, double tolerance)
    {
        const int cells = 401;
        var (at, weight) = (new double[cells], new double[cells]);
        for (var i = 0; i < cells; i++)
        {
            at[i] = (i - cells / 2) * window / (cells - 1);
            weight[i] = Math.Pow(0.5 + 0.5 * Math.Cos(2 * Math.PI * at[i] / window), 2);
        }
        var total = weight.Sum();
        var sum = tremble * tremble;
        for (var i = 0; i < cells; i++)
        {
            sum -= 2 * weight[i] / total * Tremble(at[i]);
            for (var j = 0; j < cells; j++)
                sum += weight[i] * weight[j] / (total * total) * (Tremble(at[i] - at[j]) + Walk(at[i], at[j]));
        }
        var model = new WanderModel(walk, tremble, 0.1);
        Measured.Within(1, model.BlurVariance(window) / sum, tolerance, "blur against the double sum");

        double Tremble(double away) => tremble * tremble * Math.Exp(-Math.Abs(away) / 0.1);
        double Walk(double a, double b)
        {
            if (a * b <= 0)
                return 0;
            var (m, n) = (Math.Min(Math.Abs(a), Math.Abs(b)), Math.Max(Math.Abs(a), Math.Abs(b)));
            return walk * m * m * (3 * n - m) / 6;
        }
    }
}
