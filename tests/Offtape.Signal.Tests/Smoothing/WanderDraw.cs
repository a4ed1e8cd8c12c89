using Offtape.Testing;

namespace Offtape.Signal.Tests;

/// <summary>Points drawn at random from a wander model, step by step as the model says, with noise of their own.</summary>
internal sealed class WanderDraw
{
    internal required double[] Truth { get; init; }

    internal required double[] Values { get; init; }

    internal required double[] Information { get; init; }

    /// <param name="seed">Of the draw.</param>
    /// <param name="count">How many points.</param>
    /// <param name="stepSeconds">Between them.</param>
    /// <param name="model">How they move.</param>
    /// <param name="sigma">Of each point; infinite for none.</param>
    /// <param name="startDeviation">Of level and slope at first.</param>
    internal static WanderDraw Of(
        ulong seed,
        int count,
        double stepSeconds,
        WanderModel model,
        Func<int, double> sigma,
        double startDeviation = 0.1
    )
    {
        var random = new SplitMix64(seed);
        var (truth, values, information) = (new double[count], new double[count], new double[count]);
        var (level, slope, tremble) = (
            startDeviation * Gaussian(random),
            startDeviation * Gaussian(random),
            model.Tremble * Gaussian(random)
        );
        var decay = Math.Exp(-stepSeconds / model.TrembleSeconds);
        for (var i = 0; i < count; i++)
        {
            if (i > 0)
            {
                // A slope's random walk over a step and its integral: deviations √(q·h) and √(q·h³/3), correlated by √3/2.
                var (a, b) = (Gaussian(random), Gaussian(random));
                var walk = Math.Sqrt(model.WalkNoise * stepSeconds);
                level += stepSeconds * (slope + walk * (a / 2 + b / Math.Sqrt(12)));
                slope += walk * a;
                tremble = decay * tremble + model.Tremble * Math.Sqrt(1 - decay * decay) * Gaussian(random);
            }
            truth[i] = level + tremble;
            var noise = Gaussian(random);
            var s = sigma(i);
            information[i] = double.IsInfinity(s) ? 0 : 1 / (s * s);
            // What was not measured must not be read.
            values[i] = double.IsInfinity(s) ? double.NaN : truth[i] + s * noise;
        }
        return new WanderDraw
        {
            Truth = truth,
            Values = values,
            Information = information,
        };
    }

    private static double Gaussian(SplitMix64 random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.Unit())) * Math.Cos(2 * Math.PI * random.Unit());
}
