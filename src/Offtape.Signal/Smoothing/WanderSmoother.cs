namespace Offtape.Signal;

/// <summary>
/// The smooth curve through measured points of unequal sureness, under a <see cref="WanderModel"/>: Kalman filter and Rauch–Tung–Striebel
/// smoother (AIAA Journal 3(8), 1965) over level, slope and tremble. Where nothing is measured the tremble dies away and the slope goes on,
/// so that the curve coasts and its deviation grows. The model itself is found by maximum likelihood (innovations form: F. C. Schweppe, IEEE
/// Trans. Information Theory 11(1), 1965).
/// </summary>
/// <remarks>Time and memory grow with the number of points. An instance holds its scratch: one per thread.</remarks>
public sealed class WanderSmoother
{
    // Diffuse enough for any curve in seconds of delay against a straight line, tight enough for the arithmetic.
    private const double StartLevelVariance = 1e-2;
    private const double StartSlopeVariance = 1e-2;

    private WanderState[] _predicted = [];
    private WanderState[] _filtered = [];

    /// <summary>Mean square of the innovations over what was expected of them in the last fit or trial: 1 where the stated information is true.</summary>
    public double Misfit { get; private set; }

    /// <summary>Log-likelihood of the points under a model.</summary>
    /// <param name="values">On an even grid; read only where the information is above 0.</param>
    /// <param name="information">1/σ² of each, 0 where nothing was measured.</param>
    /// <param name="stepSeconds">The grid's step.</param>
    /// <param name="model">What is tried.</param>
    /// <param name="relativeNoise">Walk noise of each step against the model's (large = a break); empty for 1 everywhere.</param>
    public double LogLikelihood(
        ReadOnlySpan<double> values,
        ReadOnlySpan<double> information,
        double stepSeconds,
        in WanderModel model,
        ReadOnlySpan<double> relativeNoise
    ) => Filter(values, information, stepSeconds, model, relativeNoise, keep: false);

    /// <summary>Fits the curve under a model.</summary>
    /// <param name="values">On an even grid; read only where the information is above 0.</param>
    /// <param name="information">1/σ² of each, 0 where nothing was measured.</param>
    /// <param name="stepSeconds">The grid's step.</param>
    /// <param name="model">How the curve moves.</param>
    /// <param name="relativeNoise">Walk noise of each step against the model's (large = a break); empty for 1 everywhere.</param>
    /// <param name="smooth">Receives the curve.</param>
    /// <param name="sigma">Receives its standard deviation.</param>
    public void Fit(
        ReadOnlySpan<double> values,
        ReadOnlySpan<double> information,
        double stepSeconds,
        in WanderModel model,
        ReadOnlySpan<double> relativeNoise,
        Span<double> smooth,
        Span<double> sigma
    )
    {
        var n = values.Length;
        if (smooth.Length != n || sigma.Length != n)
            throw new ArgumentException("As many of everything.", nameof(smooth));
        if (_predicted.Length < n)
            (_predicted, _filtered) = (new WanderState[n], new WanderState[n]);
        Filter(values, information, stepSeconds, model, relativeNoise, keep: true);
        var decay = Math.Exp(-stepSeconds / model.TrembleSeconds);
        var after = _filtered[n - 1];
        Read(after, ref smooth[n - 1], ref sigma[n - 1]);
        for (var i = n - 2; i >= 0; i--)
        {
            after = WanderState.Smoothed(_filtered[i], _predicted[i + 1], after, stepSeconds, decay);
            Read(after, ref smooth[i], ref sigma[i]);
        }
    }

    private static void Read(in WanderState state, ref double value, ref double sigma)
    {
        value = state.Level + state.Tremble;
        sigma = Math.Sqrt(Math.Max(state.Variance, 0));
    }

    private double Filter(
        ReadOnlySpan<double> values,
        ReadOnlySpan<double> information,
        double stepSeconds,
        in WanderModel model,
        ReadOnlySpan<double> relativeNoise,
        bool keep
    )
    {
        if (values.Length < 2 || information.Length != values.Length)
            throw new ArgumentException("At least two points, and as many of everything.", nameof(values));
        if (!relativeNoise.IsEmpty && relativeNoise.Length != values.Length)
            throw new ArgumentException("One for each point.", nameof(relativeNoise));
        var decay = Math.Exp(-stepSeconds / model.TrembleSeconds);
        var trembleVariance = model.Tremble * model.Tremble;
        var (q3, q2, q1) = (
            model.WalkNoise * stepSeconds * stepSeconds * stepSeconds / 3,
            model.WalkNoise * stepSeconds * stepSeconds / 2,
            model.WalkNoise * stepSeconds
        );
        var qt = trembleVariance * (1 - decay * decay);
        var state = new WanderState
        {
            Pll = StartLevelVariance,
            Pss = StartSlopeVariance,
            Ptt = trembleVariance,
        };
        double likelihood = 0,
            sum = 0;
        var measured = 0;
        for (var i = 0; i < values.Length; i++)
        {
            if (i > 0)
            {
                var more = relativeNoise.IsEmpty ? 1 : relativeNoise[i];
                state = state.Predicted(stepSeconds, decay, q3 * more, q2 * more, q1 * more, qt);
            }
            if (keep)
                _predicted[i] = state;
            if (information[i] > 0)
            {
                var innovation = values[i] - state.Level - state.Tremble;
                var variance = state.Variance + 1 / information[i];
                // The first two points set level and slope: they say nothing of the model.
                if (++measured > 2)
                {
                    var square = innovation * innovation / variance;
                    (likelihood, sum) = (likelihood - 0.5 * (square + Math.Log(variance)), sum + square);
                }
                state = state.Updated(innovation, variance);
            }
            if (keep)
                _filtered[i] = state;
        }
        Misfit = sum / Math.Max(measured - 2, 1);
        return likelihood;
    }
}
