using Offtape.Testing;

namespace Offtape.Tape.Tests;

/// <summary>
/// Checks the recording characteristics: N(f) of IEC 60094-1:1981 clause 15 against a table worked out from that formula apart from this
/// program (three decimals), the time constants against IASA-TC 04 5.4.10 and JIS S 8604, and the error of a wrong switch by arithmetic.
/// </summary>
public sealed class EqualisationTests
{
    private const double Decimals = 0.00051;

    private const double None = double.PositiveInfinity;

    public static TheoryData<double, double[]> Flux =>
        new()
        {
            // Hz, then 17.5/∞, 35/∞, 50/3180, 70/∞, 90/3180, 120/3180, 70/3180 µs.
            { 31.5, [0.000, 0.000, 5.470, -0.001, 5.470, 5.468, 5.470] },
            { 50, [0.000, -0.001, 3.013, -0.002, 3.011, 3.008, 3.012] },
            { 100, [-0.001, -0.002, 0.967, -0.008, 0.957, 0.946, 0.962] },
            { 315, [-0.005, -0.021, 0.066, -0.083, -0.027, -0.130, 0.026] },
            { 1000, [-0.052, -0.205, -0.398, -0.768, -1.194, -1.944, -0.757] },
            { 4000, [-0.768, -2.489, -4.114, -6.123, -7.864, -10.041, -6.122] },
            { 6300, [-1.702, -4.653, -6.917, -9.384, -11.364, -13.722, -9.384] },
            { 10_000, [-3.442, -7.661, -10.362, -13.084, -15.182, -17.623, -13.084] },
            { 16_000, [-6.123, -11.265, -14.194, -17.035, -19.184, -21.659, -17.035] },
            { 20_000, [-7.661, -13.084, -16.072, -18.942, -21.103, -23.587, -18.942] },
        };

    [Theory, MemberData(nameof(Flux))]
    public void Flux_against_frequency_is_the_formula_of_the_standard(double frequencyHz, double[] wantedDb)
    {
        (double Treble, double Bass)[] constants = [(17.5, None), (35, None), (50, 3180), (70, None), (90, 3180), (120, 3180), (70, 3180)];
        for (var i = 0; i < constants.Length; i++)
        {
            var equalisation = new Equalisation("", "", 1, constants[i].Treble, constants[i].Bass, true, "");
            Measured.Within(wantedDb[i], equalisation.FluxDbAt(frequencyHz), Decimals, $"{constants[i]} µs");
            Measured.Within(-wantedDb[i], equalisation.ReplayGainDbAt(frequencyHz), Decimals, $"{constants[i]} µs in replay");
        }
    }

    /// <summary>IASA-TC 04 5.4.10 for reels, JIS S 8604 table 1 (IEC 60094-1) for cassettes.</summary>
    [Theory]
    [InlineData("Type I", 4.7625, 120, 3180)]
    [InlineData("Type II", 4.7625, 70, 3180)]
    [InlineData("Type IV (metal)", 4.7625, 70, 3180)]
    [InlineData("AES (IEC2)", 76.2, 17.5, None)]
    [InlineData("IEC1 (CCIR)", 38.1, 35, None)]
    [InlineData("NAB (IEC2)", 38.1, 50, 3180)]
    [InlineData("IEC1 (CCIR, DIN studio)", 19.05, 70, None)]
    [InlineData("NAB (IEC2, DIN home)", 19.05, 50, 3180)]
    [InlineData("NAB (IEC2)", 9.525, 90, 3180)]
    [InlineData("CCIR, IEC, DIN to 1968", 19.05, 100, None)]
    [InlineData("DIN 1962", 9.525, 120, 3180)]
    [InlineData("IEC 1962 to 1968", 9.525, 140, 3180)]
    [InlineData("DIN 1955 to 1961", 9.525, 200, None)]
    [InlineData("CCIR, IEC1, DIN 1953 to 1968", 76.2, 35, None)]
    public void Time_constants_are_the_published_ones(string name, double cmPerSecond, double treble, double bass)
    {
        var found = Assert.Single(Equalisations.All, e => e.Name == name && e.CmPerSecond == cmPerSecond);
        Assert.Equal(treble, found.TrebleMicroseconds);
        Assert.Equal(bass, found.BassMicroseconds);
    }

    /// <summary>1/(2πT), arithmetic.</summary>
    [Theory]
    [InlineData(17.5, 9094.57)]
    [InlineData(35, 4547.28)]
    [InlineData(50, 3183.10)]
    [InlineData(70, 2273.64)]
    [InlineData(90, 1768.39)]
    [InlineData(120, 1326.29)]
    public void Transition_frequencies_follow_from_the_time_constants(double treble, double hertz)
    {
        Measured.Within(hertz, new Equalisation("", "", 1, treble, 3180, true, "").TrebleTransitionHz, 0.006, "treble transition in Hz");
        Measured.Within(50.049, new Equalisation("", "", 1, treble, 3180, true, "").BassTransitionHz, 0.0006, "bass transition in Hz");
        Assert.Equal(0, new Equalisation("", "", 1, treble, None, true, "").BassTransitionHz);
    }

    /// <summary>A tape of 120 µs replayed at 70, and the other way round; limit 20·log10(120/70). Arithmetic from the formula.</summary>
    [Theory]
    [InlineData(1000, 1.187), InlineData(2000, 2.662), InlineData(4000, 3.919), InlineData(6300, 4.338)]
    [InlineData(8000, 4.462), InlineData(10_000, 4.538), InlineData(12_500, 4.589), InlineData(16_000, 4.625)]
    public void A_wrong_cassette_switch_is_heard_as_much_as_arithmetic_says(double frequencyHz, double decibels)
    {
        var dull = Equalisations.CassetteTypeOne.HeardOn(Equalisations.CassetteTypeTwo, frequencyHz);
        var bright = Equalisations.CassetteTypeTwo.HeardOn(Equalisations.CassetteTypeOne, frequencyHz);
        Measured.Within(-decibels, dull, 2 * Decimals, "a 120 µs tape at 70 µs, in dB");
        Measured.Within(decibels, bright, 2 * Decimals, "a 70 µs tape at 120 µs, in dB");
        Assert.Equal(0, Equalisations.CassetteTypeOne.HeardOn(Equalisations.CassetteTypeOne, frequencyHz));
    }

    /// <summary>NAB against IEC1 at 38.1 cm/s: an NAB tape on an IEC machine.</summary>
    [
        Theory,
        InlineData(31.5, 5.471),
        InlineData(50, 3.014),
        InlineData(1000, -0.193),
        InlineData(10_000, -2.701),
        InlineData(16_000, -2.929)
    ]
    public void An_nab_tape_on_an_iec_machine_has_more_bass_and_less_treble(double frequencyHz, double decibels) =>
        Measured.Within(decibels, Equalisations.Nab38.HeardOn(Equalisations.Iec38, frequencyHz), 2 * Decimals, "difference in dB");
}
