namespace Offtape.Signal.Tests;

/// <summary>
/// The slow truth for the wander smoother: the points as one Gaussian vector with its whole covariance, conditioned by the textbook formula
/// (C. E. Rasmussen and C. K. I. Williams, Gaussian Processes for Machine Learning, 2006, algorithm 2.1), in 28 decimal digits since a wide
/// prior and microseconds stand together. Units are microseconds.
/// </summary>
internal sealed class DenseWander
{
    // Level and slope at first, as the smoother has them: 0.1 s and 0.1 s/s.
    private const decimal StartVariance = 1e10m;
    private const double Micro = 1e6;

    private readonly double _step;
    private readonly WanderModel _model;
    private readonly double[] _relative;
    private readonly int[] _measured;
    private readonly decimal[] _values;
    private readonly decimal[,] _factor;
    private readonly decimal[] _pivots;

    internal DenseWander(double[] values, double[] information, double stepSeconds, WanderModel model, double[] relativeNoise)
    {
        (_step, _model, _relative) = (stepSeconds, model, relativeNoise);
        _measured = [.. Enumerable.Range(0, values.Length).Where(i => information[i] > 0)];
        _values = [.. _measured.Select(i => (decimal)(values[i] * Micro))];
        var n = _measured.Length;
        (_factor, _pivots) = (new decimal[n, n], new decimal[n]);
        // L·D·Lᵀ of the covariance with noise.
        for (var i = 0; i < n; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                var sum = Covariance(_measured[i], _measured[j]);
                if (i == j)
                    sum += (decimal)(Micro * Micro / information[_measured[i]]);
                for (var k = 0; k < j; k++)
                    sum -= _factor[i, k] * _factor[j, k] * _pivots[k];
                if (i == j)
                    _pivots[i] = sum;
                else
                    _factor[i, j] = sum / _pivots[j];
            }
        }
    }

    /// <summary>Log-likelihood of the points after the first two, given those, without the 2π.</summary>
    internal double LogLikelihoodAfterTwo()
    {
        var white = Forward(_values);
        double sum = 0;
        for (var i = 2; i < white.Length; i++)
            sum -= 0.5 * ((double)(white[i] * white[i] / _pivots[i]) + Math.Log((double)_pivots[i] / (Micro * Micro)));
        return sum;
    }

    /// <summary>Mean and deviation of the curve at a point, given all that was measured; seconds.</summary>
    internal (double Mean, double Sigma) At(int point)
    {
        var white = Forward(_values);
        var towards = Forward([.. _measured.Select(i => Covariance(point, i))]);
        decimal mean = 0,
            variance = Covariance(point, point);
        for (var i = 0; i < white.Length; i++)
        {
            mean += towards[i] * white[i] / _pivots[i];
            variance -= towards[i] * towards[i] / _pivots[i];
        }
        return ((double)mean / Micro, Math.Sqrt((double)variance) / Micro);
    }

    // L⁻¹·v
    private decimal[] Forward(decimal[] v)
    {
        var white = (decimal[])v.Clone();
        for (var i = 0; i < v.Length; i++)
        {
            for (var k = 0; k < i; k++)
                white[i] -= _factor[i, k] * white[k];
        }
        return white;
    }

    /// <summary>
    /// Level: start, start slope, and the twice integrated white noise ∫(t₁ − s)(t₂ − s)·q(s) ds up to the earlier time. Tremble: its variance
    /// times e^(−|t₁ − t₂|/τ).
    /// </summary>
    private decimal Covariance(int a, int b)
    {
        var (first, second) = ((decimal)(Math.Min(a, b) * _step), (decimal)(Math.Max(a, b) * _step));
        var sum = StartVariance * (1 + first * second);
        for (var i = 1; i <= Math.Min(a, b); i++)
        {
            var (from, to) = ((decimal)((i - 1) * _step), (decimal)(i * _step));
            var noise = (decimal)(_model.WalkNoise * Micro * Micro * (_relative.Length == 0 ? 1 : _relative[i]));
            sum += noise * (Integral(to) - Integral(from));
        }
        var tremble = _model.Tremble * Micro;
        return sum + (decimal)(tremble * tremble * Math.Exp(-Math.Abs(a - b) * _step / _model.TrembleSeconds));

        decimal Integral(decimal s) => first * second * s - (first + second) * s * s / 2 + s * s * s / 3;
    }
}
