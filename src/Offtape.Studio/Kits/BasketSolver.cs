using Google.OrTools.Sat;
using Offtape.Base;

namespace Offtape.Studio;

/// <summary>
/// Chooses what is bought beside a machine, with the CP-SAT solver. One variable for each way to join a knot (each knot is joined exactly
/// once, alone or with its neighbour), one for how many of each offer are taken, one for whether its shipping is paid. Money counts first,
/// pieces second. The answer is proven to be the best, or that there is none.
/// </summary>
internal static class BasketSolver
{
    // Fewer pieces decide only between baskets that cost the same.
    private const long CentWeight = 1_000;
    private const int MostOfOneOffer = 64;

    /// <returns>Null when there is no way, whatever it costs.</returns>
    /// <exception cref="Fault">The solver's native part is not there.</exception>
    public static BasketChoice? Solve(BasketProblem problem)
    {
        try
        {
            return Solved(problem);
        }
        catch (Exception error) when (error is DllNotFoundException or TypeInitializationException or BadImageFormatException)
        {
            throw Fault.Incomplete(
                "The part of the program that chooses baskets does not run on this system",
                "Publish offtape for it: dotnet publish src/Offtape.Cli -c Release -r YOUR-SYSTEM. All other verbs work without it."
            );
        }
    }

    private static BasketChoice? Solved(BasketProblem problem)
    {
        var model = new CpModel();
        var weights = new List<(LinearExpr Variable, long Weight)>();
        var ways = new List<(int Knot, JoinSearch Search, JoinOption Option, BoolVar Variable)>();
        var covers = problem.Knots.Select(_ => new List<ILiteral>()).ToArray();
        for (var k = 0; k < problem.Knots.Count; k++)
        {
            var knot = problem.Knots[k];
            foreach (var option in knot.AloneOptions)
                covers[k].Add(Way(k, knot.Alone!, option));
            foreach (var option in knot.WithNextOptions)
            {
                var both = Way(k, knot.WithNext!, option);
                covers[k].Add(both);
                covers[k + 1].Add(both);
            }
        }
        if (covers.Any(c => c.Count == 0))
            return null;
        foreach (var cover in covers)
            model.AddExactlyOne(cover);

        var taken = new List<(Offer Offer, IntVar Count)>();
        for (var p = 0; p < problem.Parts.Count; p++)
        {
            var uses = ways.Where(w => w.Option.Parts.Contains(p)).ToArray();
            if (uses.Length == 0)
                continue;
            var needed = LinearExpr.WeightedSum(uses.Select(u => u.Variable), uses.Select(u => (long)u.Option.Parts.Count(x => x == p)));
            var bought = problem.PartOffers[p].Select(o => Take(o, MostOfOneOffer)).ToArray();
            model.Add(needed <= LinearExpr.Sum(bought) + problem.Stock[p]);
        }
        if (problem.TapeTenths > 0)
        {
            var tapes = problem
                .TapeOffers.Select(t => Take(t.Offer, (int)Math.Min(MostOfOneOffer, (problem.TapeTenths + t.Tenths - 1) / t.Tenths)))
                .ToArray();
            model.Add(LinearExpr.WeightedSum(tapes, problem.TapeOffers.Select(t => t.Tenths)) >= problem.TapeTenths);
        }
        if (problem.Transformers is { } transformers)
            model.Add(LinearExpr.Sum(transformers.Select(t => Take(t, 1))) >= 1);

        model.Minimize(LinearExpr.WeightedSum(weights.Select(w => w.Variable), weights.Select(w => w.Weight)));
        var solver = new CpSolver
        {
            StringParameters =
                "num_workers:1 random_seed:1 cp_model_probing_level:0 symmetry_level:0 max_presolve_iterations:1 linearization_level:2",
        };
        var status = solver.Solve(model);
        if (status is CpSolverStatus.Infeasible)
            return null;
        if (status is not CpSolverStatus.Optimal)
            throw new InvalidOperationException($"The solver ended with {status}.");
        return new BasketChoice(
            [.. taken.Select(t => (t.Offer, (int)solver.Value(t.Count))).Where(t => t.Item2 > 0)],
            [.. ways.Where(w => solver.BooleanValue(w.Variable)).OrderBy(w => w.Knot).Select(w => (w.Search, w.Option))]
        );

        BoolVar Way(int knot, JoinSearch search, JoinOption option)
        {
            var variable = model.NewBoolVar("");
            ways.Add((knot, search, option, variable));
            weights.Add((variable, option.Parts.Length));
            return variable;
        }

        IntVar Take(Offer offer, int most)
        {
            most = Math.Min(most, offer.Count);
            var count = model.NewIntVar(0, most, "");
            taken.Add((offer, count));
            weights.Add((count, Cents(offer.Price) * CentWeight));
            if (offer.Shipping > 0)
            {
                var isTaken = model.NewBoolVar("");
                model.Add(count <= most * isTaken);
                weights.Add((isTaken, Cents(offer.Shipping) * CentWeight));
            }
            return count;
        }
    }

    private static long Cents(decimal money) => (long)(money * 100);
}
