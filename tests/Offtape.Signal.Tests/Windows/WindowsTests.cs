using Offtape.Testing;

namespace Offtape.Signal.Tests;

/// <summary>Checks the windows against Harris 1978, Table 1, against closed forms of their sums, and value by value against SciPy.</summary>
public sealed class WindowsTests
{
    private delegate void Fill(Span<double> window, WindowForm form);

    private delegate void FillSingle(Span<float> window, WindowForm form);

    /// <summary>
    /// Harris, Table 1: coherent gain, noise bandwidth in bins, loss half-way between two bins (scalloping) in dB. His numbers are rounded
    /// to two places: the tolerance is one unit of the last place. For the Hamming window he prints 1.78 dB, where the terms 0.54 and 0.46
    /// give 20·log10(0.54 ÷ (0.54·0.63662 + 0.23·0.42441)) = 1.75: that stands here.
    /// </summary>
    [Theory]
    [InlineData("hann", 0.50, 1.50, 1.42)]
    [InlineData("hamming", 0.54, 1.36, 1.75)]
    [InlineData("blackmanharris", 0.36, 2.00, 0.83)]
    [InlineData("kaiser 2.0π", 0.49, 1.50, 1.46)]
    [InlineData("kaiser 2.5π", 0.44, 1.65, 1.20)]
    [InlineData("kaiser 3.0π", 0.40, 1.80, 1.02)]
    [InlineData("kaiser 3.5π", 0.37, 1.93, 0.89)]
    public void Sums_are_those_of_Harriss_table(string name, double coherentGain, double noiseBandwidthBins, double scallopingDb)
    {
        var window = Filled(name, 4096, WindowForm.Periodic);
        Measured.Within(coherentGain, Windows.CoherentGain(window), 0.01, "coherent gain");
        Measured.Within(noiseBandwidthBins, Windows.NoiseBandwidthBins(window), 0.01, "noise bandwidth in bins");
        Measured.Within(scallopingDb, -GainDb(window, 0.5), 0.01, "loss between two bins in dB");
    }

    /// <summary>
    /// For a sum of cosines over a whole period the two sums are exact: gain a0, bandwidth (a0² + ½Σak²) ÷ a0². Terms from the books named
    /// in the class; tolerance: double rounding over 1000 values.
    /// </summary>
    [Theory]
    [InlineData("hann", new[] { 0.5, 0.5 })]
    [InlineData("hamming", new[] { 0.54, 0.46 })]
    [InlineData("blackmanharris", new[] { 0.35875, 0.48829, 0.14128, 0.01168 })]
    [InlineData("flattop", new[] { 0.21557895, 0.41663158, 0.277263158, 0.083578947, 0.006947368 })]
    public void Sums_are_the_closed_form_of_the_terms(string name, double[] terms)
    {
        var window = Filled(name, 1000, WindowForm.Periodic);
        Measured.Within(terms[0], Windows.CoherentGain(window), 1e-13, "coherent gain");
        var power = terms[0] * terms[0] + terms.Skip(1).Sum(a => a * a / 2);
        Measured.Within(power / (terms[0] * terms[0]), Windows.NoiseBandwidthBins(window), 1e-12, "noise bandwidth in bins");
    }

    /// <summary>What the flat-top window is for: a tone between two bins is read within 0.02 dB, where Hann loses 1.42.</summary>
    [Fact]
    public void Flat_top_reads_a_tone_anywhere_between_two_bins()
    {
        var window = Filled("flattop", 4096, WindowForm.Periodic);
        Measured.Within(3.77, Windows.NoiseBandwidthBins(window), 0.005, "noise bandwidth in bins");
        for (var bins = -0.5; bins <= 0.5; bins += 0.05)
            Measured.Within(0, GainDb(window, bins), 0.02, $"gain {bins:F2} bins off in dB");
    }

    /// <summary>Harris, Table 1: highest side lobe −92 dB for the four-term window, −43 for Hamming; outside the main lobe's own bins.</summary>
    [Theory, InlineData("blackmanharris", 4.0, -92), InlineData("hamming", 2.0, -42.5), InlineData("hann", 2.0, -31.4)]
    public void Side_lobes_stay_below_the_published_level(string name, double mainLobeBins, double limitDb)
    {
        var window = Filled(name, 512, WindowForm.Periodic);
        var highest = double.NegativeInfinity;
        for (var bins = mainLobeBins; bins < 30; bins += 0.05)
            highest = Math.Max(highest, GainDb(window, bins));
        Measured.AtMost(limitDb, highest, "highest side lobe in dB");
        Measured.AtLeast(limitDb - 1.5, highest, "highest side lobe in dB");
    }

    /// <summary>scipy.signal.get_window, even and odd lengths, from tools/reference/transforms.py; both sides in double.</summary>
    [Theory, InlineData("hann"), InlineData("hamming"), InlineData("blackmanharris"), InlineData("flattop"), InlineData("kaiser8")]
    public void Every_value_is_SciPys(string name)
    {
        foreach (var form in new[] { WindowForm.Periodic, WindowForm.Symmetric })
        {
            foreach (var length in new[] { 15, 16 })
            {
                var wanted = Reference.Column("windows.csv", $"{name}-{(form == WindowForm.Periodic ? "periodic" : "symmetric")}-{length}");
                var window = Filled(name, length, form);
                var single = FilledSingle(name, length, form);
                for (var i = 0; i < length; i++)
                {
                    Measured.Within(wanted[i], window[i], 1e-14, $"value {i} of {length}");
                    Measured.Within(wanted[i], single[i], 6e-8, $"value {i} of {length} in single precision");
                }
            }
        }
    }

    /// <summary>scipy.special.i0, from tools/reference/transforms.py.</summary>
    [Fact]
    public void Bessel_function_is_SciPys()
    {
        var (at, wanted) = (Reference.Column("bessel.csv", "x"), Reference.Column("bessel.csv", "i0"));
        for (var i = 0; i < at.Length; i++)
            Measured.Within(1, Windows.BesselI0(at[i]) / wanted[i], 1e-14, $"I0({at[i]}) against SciPy's");
    }

    [Theory, InlineData("hann"), InlineData("hamming"), InlineData("blackmanharris"), InlineData("flattop"), InlineData("kaiser8")]
    public void One_value_is_one_and_none_is_none(string name)
    {
        foreach (var form in new[] { WindowForm.Periodic, WindowForm.Symmetric })
        {
            Assert.Equal([1.0], Filled(name, 1, form));
            Assert.Empty(Filled(name, 0, form));
        }
    }

    [Fact]
    public void Filling_allocates_nothing()
    {
        var window = new float[256];
        void Once()
        {
            Windows.Hann(window, WindowForm.Periodic);
            Windows.FlatTop(window, WindowForm.Symmetric);
            Windows.Kaiser(window, 8, WindowForm.Periodic);
        }
        Once();
        var before = GC.GetAllocatedBytesForCurrentThread();
        Once();
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }

    /// <summary>What a tone so many bins off centre is multiplied by, against one on centre: the defining sum.</summary>
    private static double GainDb(double[] window, double bins)
    {
        var (re, im) = (0.0, 0.0);
        for (var n = 0; n < window.Length; n++)
        {
            var (s, c) = Math.SinCos(2 * Math.PI * bins * n / window.Length);
            re += window[n] * c;
            im += window[n] * s;
        }
        return 20 * Math.Log10(Math.Sqrt(re * re + im * im) / window.Sum());
    }

    private static double[] Filled(string name, int length, WindowForm form)
    {
        var window = new double[length];
        Fill fill = name switch
        {
            "hann" => Windows.Hann,
            "hamming" => Windows.Hamming,
            "blackmanharris" => Windows.BlackmanHarris,
            "flattop" => Windows.FlatTop,
            "kaiser8" => (w, f) => Windows.Kaiser(w, 8, f),
            _ => (w, f) => Windows.Kaiser(w, Math.PI * double.Parse(name[7..^1]), f),
        };
        fill(window, form);
        return window;
    }

    private static float[] FilledSingle(string name, int length, WindowForm form)
    {
        var window = new float[length];
        FillSingle fill = name switch
        {
            "hann" => Windows.Hann,
            "hamming" => Windows.Hamming,
            "blackmanharris" => Windows.BlackmanHarris,
            "flattop" => Windows.FlatTop,
            _ => (w, f) => Windows.Kaiser(w, 8, f),
        };
        fill(window, form);
        return window;
    }
}
