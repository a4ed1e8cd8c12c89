using Offtape.Testing;

namespace Offtape.Signal.Tests;

/// <summary>Checks the overlap-save matched filter against the defining sum, written out in double.</summary>
public sealed class MatchedFilterTests
{
    [Fact]
    public void Chirp_is_found_where_it_was_put_with_its_amplitude_and_phase()
    {
        var chirp = new HyperbolicChirp(500, 6000, 0.25);
        var template = new float[4000];
        var quadrature = new float[4000];
        chirp.Synthesise(16_000, 0, template);
        chirp.SynthesiseQuadrature(16_000, 0, quadrature);
        var input = new float[100_000];
        chirp.Synthesise(16_000, 0, input.AsSpan(54_321, 4001));
        foreach (ref var value in input.AsSpan())
            value *= -0.3f;
        var filter = new MatchedFilter(template, quadrature);
        var (best, where, re, rho, count) = (0.0, -1L, 0.0, 0.0, 0L);
        void Take(in MatchedBlock block)
        {
            Assert.Equal(count, block.StartFrame);
            count += block.Count;
            for (var i = 0; i < block.Count; i++)
            {
                if (block.Amplitude(i) > best)
                    (best, where, re, rho) = (block.Amplitude(i), block.StartFrame + i, block.Re[i], block.NormalisedCorrelation(i));
            }
        }
        filter.Process(input, Take);
        filter.Finish(Take);
        Assert.Equal(100_000, count);
        Assert.Equal(54_321, where);
        Measured.Within(-0.3, re, 1e-5);
        Measured.Within(0.3, best, 1e-3);
        Measured.Within(1, rho, 1e-3);
    }
}
