using Offtape.Testing;

namespace Offtape.Signal.Tests;

/// <summary>
/// Checks the overlap-save matched filter against its defining sum Σ x[n + m]·(t[m] − i·q[m]) ÷ Σ t², written out in double, and against
/// scipy.signal.correlate.
/// </summary>
public sealed class MatchedFilterTests
{
    // The transforms promise −130 dB of the spectrum; two of them and a product, and white signals: −120 dB of the loudest output.
    private const double LimitDb = -120;

    [Fact]
    public void Output_is_the_defining_sum_for_every_template_of_a_bank()
    {
        var templates = new[] { Template(300, 1), Template(777, 2), Template(777, 3), Template(1, 4) };
        var input = Noise(5000, 5);
        var outputs = Run(new MatchedFilterBank([.. templates.Select(t => new MatchedTemplate(t.Re, t.Im))]), input, input.Length);
        for (var i = 0; i < templates.Length; i++)
        {
            var (template, output) = (templates[i], outputs[i]);
            Assert.Equal(input.Length, output.Re.Count);
            var energy = template.Re.Sum(v => (double)v * v);
            var (error, loudest) = (0.0, 0.0);
            for (var n = 0; n < input.Length; n++)
            {
                var (re, im, local) = (0.0, 0.0, 0.0);
                for (var m = 0; m < template.Re.Length && n + m < input.Length; m++)
                {
                    re += (double)input[n + m] * template.Re[m] / energy;
                    im -= (double)input[n + m] * template.Im[m] / energy;
                    local += (double)input[n + m] * input[n + m];
                }
                error = Math.Max(error, Math.Max(Math.Abs(output.Re[n] - re), Math.Abs(output.Im[n] - im)));
                loudest = Math.Max(loudest, Math.Sqrt(re * re + im * im));
                // Sums in double, handed over as float: half a unit in the last place, 2^−24, and the block's own sum of 2^−53 each.
                Measured.Within(local, output.Energy[n], local * 1e-7 + 1e-11, "local energy");
                // The same, and the energy floor of 1e−11.
                var rho = local > 0 ? Math.Sqrt((re * re + im * im) * energy / local) : 0;
                Measured.Within(Math.Min(1, rho), output.Rho[n], 2e-5, "normalised correlation");
            }
            Measured.AtMost(LimitDb, 20 * Math.Log10(error / loudest), $"error of template {i} in dB");
        }
    }

    [Fact]
    public void Valid_part_is_SciPys_correlate()
    {
        var signal = ToFloat(Reference.Column("correlation.csv", "signal"));
        var template = ToFloat(Reference.Column("correlation.csv", "template"));
        var wanted = Reference.Column("correlation.csv", "valid");
        var energy = template.Sum(v => (double)v * v);
        var output = Run(new MatchedFilterBank([MatchedTemplate.InPhaseOnly(template)], 256), signal, 100)[0];
        var loudest = wanted.Max(Math.Abs);
        for (var n = 0; n < wanted.Length; n++)
            Measured.Within(wanted[n], output.Re[n] * energy, loudest * 1e-6);
        Assert.Empty(output.Im);
    }

    [Theory, InlineData(1), InlineData(-1)]
    public void Chirp_is_found_where_it_was_put_with_its_amplitude_and_sign(int polarity)
    {
        var chirp = new HyperbolicChirp(500, 6000, 0.25);
        var (template, quadrature) = (new float[4000], new float[4000]);
        chirp.Synthesise(16_000, 0, template);
        chirp.SynthesiseQuadrature(16_000, 0, quadrature);
        var input = new float[100_000];
        chirp.Synthesise(16_000, 0, input.AsSpan(54_321, 4000));
        foreach (ref var value in input.AsSpan())
            value *= 0.3f * polarity;
        var output = Run(new MatchedFilterBank([new MatchedTemplate(template, quadrature)]), input, 1000)[0];
        var best = Enumerable.Range(0, input.Length).MaxBy(n => output.Rho[n]);
        Assert.Equal(54_321, best);
        // One product of transforms in single precision.
        Measured.Within(0.3 * polarity, output.Re[best], 1e-6);
        Measured.Within(1, output.Rho[best], 1e-6);
        // Against its own quadrature the chirp has what its two ends leave: less than one part in its number of cycles.
        Measured.Within(0, output.Im[best], 0.3 / chirp.LengthCycles);
    }

    /// <summary>Whatever the phase of the match, the envelope is its amplitude, and the phase is read from real and imaginary part.</summary>
    [Theory, InlineData(0.1), InlineData(0.25), InlineData(0.6), InlineData(-0.3)]
    public void Phase_of_a_match_is_read(double phaseCycles)
    {
        var chirp = new HyperbolicChirp(6000, 500, 0.25);
        var (template, quadrature, input) = (new float[4000], new float[4000], new float[9000]);
        chirp.Synthesise(16_000, 0, template);
        chirp.SynthesiseQuadrature(16_000, 0, quadrature);
        chirp.Synthesise(16_000, 0, input.AsSpan(3000, 4000), phaseCycles);
        var output = Run(new MatchedFilterBank([new MatchedTemplate(template, quadrature)]), input, 9000)[0];
        var (re, im) = ((double)output.Re[3000], (double)output.Im[3000]);
        // In-phase and quadrature part differ in energy by the ends of the chirp, about one part in its number of cycles.
        Measured.Within(1, Math.Sqrt(re * re + im * im), 1.0 / Math.Abs(chirp.LengthCycles));
        Measured.Within(0, Math.IEEERemainder(Math.Atan2(im, re) / (2 * Math.PI) - phaseCycles, 1), 1.0 / Math.Abs(chirp.LengthCycles));
    }

    /// <summary>A quadrature that no formula gives is SciPy's: scipy.signal.hilbert, zero-padded, from tools/reference/transforms.py.</summary>
    [Fact]
    public void Quadrature_made_by_the_transform_is_SciPys()
    {
        var burst = ToFloat(Reference.Column("hilbert.csv", "burst"));
        var wanted = Reference.Column("hilbert.csv", "quadrature");
        var made = new MatchedTemplate(burst).Quadrature!;
        // SciPy's is padded with 65,036 zeros, ours to four times the length: what wraps round is then 0.0034 of this burst (0.015 with
        // twofold padding, 0.19 without; all three worked out with SciPy).
        for (var n = 0; n < wanted.Length; n++)
            Measured.Within(wanted[n], made[n], 0.005);
    }

    [Fact]
    public void Cutting_the_input_changes_nothing()
    {
        var (template, input) = (Template(200, 1), Noise(20_000, 2));
        MatchedFilterBank Bank() => new([new MatchedTemplate(template.Re, template.Im)], 1024);
        var whole = Run(Bank(), input, input.Length)[0];
        var random = new Random(3);
        var cut = Run(Bank(), input, () => random.Next(0, 3000))[0];
        Assert.Equal(whole.Re, cut.Re);
        Assert.Equal(whole.Im, cut.Im);
        Assert.Equal(whole.Energy, cut.Energy);
    }

    [Fact]
    public void Used_filter_gives_after_reset_what_a_fresh_one_gives()
    {
        var (template, first, second) = (Template(200, 1), Noise(5000, 2), Noise(5000, 3));
        MatchedFilterBank Bank() => new([new MatchedTemplate(template.Re, template.Im)], 1024);
        var used = Bank();
        used.Process(first, (in MatchedBlock _) => { });
        used.Reset();
        var fresh = Run(Bank(), second, 5000)[0];
        var again = Run(used, second, 5000)[0];
        Assert.Equal(fresh.Re, again.Re);
        // Finish leaves it as new, too.
        Assert.Equal(fresh.Re, Run(used, second, 5000)[0].Re);
    }

    /// <summary>The sums of squares do not drift: after ten million loud frames a quiet passage has its own energy.</summary>
    [Fact]
    public void Local_energy_does_not_drift()
    {
        var bank = new MatchedFilterBank([MatchedTemplate.InPhaseOnly([1, 0.5f])]);
        var loud = Noise(100_000, 1);
        void Ignore(in MatchedBlock block) { }
        for (var i = 0; i < 100; i++)
            bank.Process(loud, Ignore);
        var quiet = new float[50_000];
        quiet.AsSpan().Fill(1e-4f);
        var last = 0f;
        bank.Process(quiet, (in MatchedBlock block) => last = block.LocalEnergy[^1]);
        Measured.Within(2e-8, last, 2e-8 * 1e-6);
    }

    /// <summary>The rounding of a loud passage is not taken for a match in the near silence before it.</summary>
    [Fact]
    public void Near_silence_before_a_loud_passage_matches_nothing()
    {
        var template = Template(1000, 1);
        var input = Noise(30_000, 2);
        var quiet = new Random(3);
        for (var n = 0; n < 10_000; n++)
            input[n] = (float)(1e-8 * (quiet.NextDouble() - 0.5));
        var output = Run(new MatchedFilterBank([new MatchedTemplate(template.Re, template.Im)], 65_536), input, 30_000)[0];
        // Chance alone, for noise against noise over 1000 frames in 9000 places, reaches √(2·ln(9000)/1000) = 0.13.
        Measured.AtMost(0.15, output.Rho.Take(9000).Max(), "normalised correlation");
    }

    [Fact]
    public void Filtering_allocates_nothing()
    {
        var template = Template(200, 1);
        var filter = new MatchedFilter(template.Re, template.Im);
        var input = Noise(20_000, 2);
        MatchedBlockHandler ignore = (in MatchedBlock block) => block.NormalisedCorrelation(0);
        filter.Process(input, ignore);
        var before = GC.GetAllocatedBytesForCurrentThread();
        filter.Process(input, ignore);
        filter.Finish(ignore);
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }

    [Theory, InlineData(0f), InlineData(1f), InlineData(float.Epsilon), InlineData(1e-40f)]
    public void Silence_full_scale_and_denormals_stay_finite(float value)
    {
        var template = Template(200, 1);
        var input = new float[5000];
        input.AsSpan().Fill(value);
        var output = Run(new MatchedFilterBank([new MatchedTemplate(template.Re, template.Im)]), input, 5000)[0];
        Assert.All(output.Re.Concat(output.Im).Concat(output.Energy), v => Assert.True(float.IsFinite(v)));
        Assert.All(output.Rho, rho => Assert.InRange(rho, 0, 1));
        if (value == 0)
            Assert.All(output.Rho, rho => Assert.Equal(0, rho));
    }

    [Fact]
    public void Templates_that_cannot_be_matched_are_refused()
    {
        Assert.Throws<ArgumentException>(() => new MatchedTemplate([]));
        Assert.Throws<ArgumentException>(() => new MatchedTemplate(new float[10]));
        Assert.Throws<ArgumentException>(() => new MatchedTemplate([1, float.NaN]));
        Assert.Throws<ArgumentException>(() => new MatchedTemplate([1, 2], [1, 2, 3]));
        Assert.Throws<ArgumentException>(() => new MatchedFilterBank([]));
        Assert.Throws<ArgumentOutOfRangeException>(() => new MatchedFilterBank([new MatchedTemplate(new float[] { 1, 2, 3 })], 4));
    }

    [Fact]
    public void Nothing_in_nothing_out()
    {
        var output = Run(new MatchedFilterBank([new MatchedTemplate([1, 2])]), [], 10)[0];
        Assert.Empty(output.Re);
    }

    private static Output[] Run(MatchedFilterBank bank, float[] input, int cut) => Run(bank, input, () => cut);

    private static Output[] Run(MatchedFilterBank bank, float[] input, Func<int> cut)
    {
        var outputs = new List<Output>();
        void Take(in MatchedBlock block)
        {
            while (outputs.Count <= block.TemplateIndex)
                outputs.Add(new Output());
            var output = outputs[block.TemplateIndex];
            Assert.Equal(output.Re.Count, block.StartFrame);
            output.Re.AddRange(block.Re);
            output.Im.AddRange(block.Im);
            output.Energy.AddRange(block.LocalEnergy);
            for (var i = 0; i < block.Count; i++)
                output.Rho.Add(block.NormalisedCorrelation(i));
        }
        for (var at = 0; at < input.Length; )
        {
            var count = Math.Min(cut(), input.Length - at);
            bank.Process(input.AsSpan(at, count), Take);
            at += count;
        }
        bank.Finish(Take);
        return outputs.Count == 0 ? [new Output()] : [.. outputs];
    }

    private static (float[] Re, float[] Im) Template(int length, int seed) => (Noise(length, seed), Noise(length, seed + 1000));

    private static float[] Noise(int length, int seed)
    {
        var random = new Random(seed);
        return [.. Enumerable.Range(0, length).Select(_ => (float)(2 * random.NextDouble() - 1))];
    }

    private static float[] ToFloat(double[] values) => [.. values.Select(value => (float)value)];

    private sealed class Output
    {
        public List<float> Re { get; } = [];

        public List<float> Im { get; } = [];

        public List<float> Energy { get; } = [];

        public List<double> Rho { get; } = [];
    }
}
