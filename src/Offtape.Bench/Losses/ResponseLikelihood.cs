namespace Offtape.Bench;

/// <summary>
/// How well a curve fits a response: the likelihood of what is left, when each point has its own noise, neighbouring points share what a machine's
/// response has that no law foretells (an exponential correlation over a third of an octave), and all share their reference. A Gaussian with
/// that covariance (C. E. Rasmussen and C. K. I. Williams, Gaussian Processes for Machine Learning, 2006, equation 2.30).
/// </summary>
internal sealed class ResponseLikelihood
{
    private const double CorrelationOctaves = 1.0 / 3;
    private const double ReferenceDb = 0.5;

    private readonly double[] _db;
    private readonly double[][] _factor;

    /// <param name="hz">Frequencies.</param>
    /// <param name="db">Level at each.</param>
    /// <param name="sigmaDb">Standard uncertainty of each by itself.</param>
    /// <param name="systematicDb">Standard deviation of what neighbours share, by frequency.</param>
    internal ResponseLikelihood(double[] hz, double[] db, double[] sigmaDb, Func<double, double> systematicDb)
    {
        (Hz, _db) = (hz, db);
        // Cholesky factor of the covariance, row by row.
        _factor = new double[hz.Length][];
        for (var i = 0; i < hz.Length; i++)
        {
            _factor[i] = new double[i + 1];
            for (var j = 0; j <= i; j++)
            {
                var octaves = Math.Abs(Math.Log2(hz[i] / hz[j]));
                var sum = systematicDb(hz[i]) * systematicDb(hz[j]) * Math.Exp(-octaves / CorrelationOctaves) + ReferenceDb * ReferenceDb;
                if (i == j)
                    sum += sigmaDb[i] * sigmaDb[i];
                for (var k = 0; k < j; k++)
                    sum -= _factor[i][k] * _factor[j][k];
                _factor[i][j] = i == j ? Math.Sqrt(Math.Max(sum, 1e-12)) : sum / _factor[j][j];
            }
        }
    }

    internal double[] Hz { get; }

    /// <summary>Logarithm of the likelihood of a curve, up to a constant that all curves share.</summary>
    internal double Of(Func<double, double> curveDb)
    {
        var white = new double[_db.Length];
        var sum = 0.0;
        for (var i = 0; i < white.Length; i++)
        {
            var left = _db[i] - curveDb(Hz[i]);
            for (var k = 0; k < i; k++)
                left -= _factor[i][k] * white[k];
            white[i] = left / _factor[i][i];
            sum += white[i] * white[i];
        }
        return -sum / 2;
    }
}
