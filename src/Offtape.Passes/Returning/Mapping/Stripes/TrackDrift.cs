using Offtape.Passes.Following;
using Offtape.Signal;

namespace Offtape.Passes.Mapping;

/// <summary>How much later one track is than another over a take: a constant and a slow movement about it, with its deviation.</summary>
internal sealed class TrackDrift
{
    private const double StepSeconds = 0.064;

    // Azimuth moves with the tape's edge between its guides: within a second or so, by microseconds on good machines (judged, no source).
    private const double UsualSeconds = 5e-6;
    private const double UsualDecades = 0.5;
    private const double ConstantSeconds = 200e-6;
    private const double FewestSeconds = 0.25;

    private static readonly double[] Rates = [0.7, 1.5, 3, 6];

    private readonly double _first;
    private readonly double[] _sigma;
    private readonly EvenSpline _spline;

    private TrackDrift(double first, double[] lag, double[] sigma)
    {
        (_first, _sigma, _spline) = (first, sigma, new EvenSpline(lag));
        MeanSeconds = lag.Average();
        RmsSeconds = Math.Sqrt(lag.Average(l => (l - MeanSeconds) * (l - MeanSeconds)));
        SigmaSeconds = Math.Sqrt(sigma.Average(s => s * s));
    }

    internal double MeanSeconds { get; }

    /// <summary>Of the movement about the mean.</summary>
    internal double RmsSeconds { get; }

    /// <summary>RMS of the deviation of the curve.</summary>
    internal double SigmaSeconds { get; }

    internal (double Lag, double Sigma) At(double seconds)
    {
        var position = Math.Clamp((seconds - _first) / StepSeconds, 0, _sigma.Length - 1);
        var i = Math.Min((int)position, _sigma.Length - 2);
        return (_spline.At(position), _sigma[i] + (position - i) * (_sigma[i + 1] - _sigma[i]));
    }

    /// <summary>From what the frames of a take say against its guide; null where too few say anything.</summary>
    internal static TrackDrift? Of(IReadOnlyList<SectionMap> sections, PathCurve guide)
    {
        var (first, last) = (sections[0].FirstSeconds, sections[^1].LastSeconds);
        var count = Math.Max(2, (int)Math.Ceiling((last - first) / StepSeconds) + 1);
        var (value, information) = (new double[count], new double[count]);
        var heard = 0.0;
        for (var s = 0; s < sections.Count; s++)
        {
            var grid = sections[s].Grid;
            // Where sections overlap each speaks up to the middle.
            var from = s == 0 ? first : 0.5 * (sections[s - 1].LastSeconds + sections[s].FirstSeconds);
            var to = s == sections.Count - 1 ? double.PositiveInfinity : 0.5 * (sections[s].LastSeconds + sections[s + 1].FirstSeconds);
            for (var k = 0; k < grid.FrameCount; k++)
            {
                var says = grid.Solver.Information[k] / grid.Solver.Scale;
                if (says <= 0 || grid.Seconds[k] < from || grid.Seconds[k] >= to)
                    continue;
                var bin = Math.Clamp((int)Math.Round((grid.Seconds[k] - first) / StepSeconds), 0, count - 1);
                value[bin] += says * grid.Solver.Measured[k];
                information[bin] += says;
                heard += grid.StepSeconds;
            }
        }
        if (heard < FewestSeconds)
            return null;
        for (var i = 0; i < count; i++)
        {
            value[i] /= information[i] + 1e-300;
            // What the guide may be wrong by is wrong for all frames of a bin alike.
            var sigma = guide.SigmaAt(first + i * StepSeconds);
            information[i] /= 1 + information[i] * sigma * sigma;
        }
        var model = Likeliest(value, information);
        var (lag, lagSigma) = (new double[count], new double[count]);
        DriftSmoother.Fit(value, information, StepSeconds, model, ConstantSeconds * ConstantSeconds, lag, lagSigma);
        return new TrackDrift(first, lag, lagSigma);
    }

    private static DriftModel Likeliest(double[] value, double[] information)
    {
        var (best, bestScore) = (default(DriftModel), double.NegativeInfinity);
        foreach (var rate in Rates)
        {
            for (var decade = -7.5; decade <= -3.9; decade += 0.25)
            {
                var size = Math.Pow(10, decade);
                var model = new DriftModel(size * size, rate);
                var away = (decade - Math.Log10(UsualSeconds)) / UsualDecades;
                var score =
                    DriftSmoother.Fit(value, information, StepSeconds, model, ConstantSeconds * ConstantSeconds, [], [])
                    - 0.5 * away * away;
                if (score > bestScore)
                    (best, bestScore) = (model, score);
            }
        }
        return best;
    }
}
