using Offtape.Testing;

namespace Offtape.Signal.Tests.Loudness;

/// <summary>
/// K-weighted loudness against ITU-R BS.1770-5, Annex 1: the printed 48 kHz tables, the anchor of a full-scale 997 Hz sine, and
/// closed-form levels. No expected value here comes from our own code.
/// </summary>
public sealed class Bs1770Tests
{
    /// <summary>Tables 1 and 2, to their last printed digit; 1e-13 is the rounding of fourteen decimals and of the arithmetic.</summary>
    [Fact]
    public void At_48_kHz_the_sections_are_the_printed_tables()
    {
        const double lastPrintedDigit = 1e-13;
        var sections = KWeighting.Sections(48_000);
        double[] wanted =
        [
            1.53512485958697,
            -2.69169618940638,
            1.19839281085285,
            -1.69065929318241,
            0.73248077421585,
            1.0,
            -2.0,
            1.0,
            -1.99004745483398,
            0.99007225036621,
        ];
        double[] got = [.. sections.SelectMany(s => new[] { s.B0, s.B1, s.B2, s.A1, s.A2 })];
        for (var i = 0; i < wanted.Length; i++)
            Measured.Within(wanted[i], got[i], lastPrintedDigit, $"coefficient {i}");
    }

    /// <summary>
    /// Annex 1 asks other rates for the same response. A bilinear shelf bends near Nyquist: to 5 kHz at 44.1 kHz and above 0.02 dB holds
    /// (measured margin; the meter's own tolerance is 0.1 LU).
    /// </summary>
    [Theory]
    [InlineData(44_100)]
    [InlineData(88_200)]
    [InlineData(96_000)]
    [InlineData(192_000)]
    [InlineData(384_000)]
    public void Other_rates_have_the_response_of_48_kHz(int sampleRateHz)
    {
        var here = new FilterCascade(KWeighting.Sections(sampleRateHz));
        var printed = new FilterCascade(KWeighting.Sections(48_000));
        for (var frequencyHz = 20.0; frequencyHz < 15_000; frequencyHz *= 1.05)
        {
            var wanted = 20 * Math.Log10(printed.ResponseAt(frequencyHz, 48_000).Magnitude);
            var got = 20 * Math.Log10(here.ResponseAt(frequencyHz, sampleRateHz).Magnitude);
            Measured.Within(wanted, got, 0.02, $"dB at {frequencyHz:F0} Hz");
        }
    }

    /// <summary>Annex 1: a full-scale 997 Hz sine in one front channel reads −3.01 LKFS. Tolerance 0.1 LU: EBU Tech 3341.</summary>
    [Theory]
    [InlineData(16_000)]
    [InlineData(22_050)]
    [InlineData(32_000)]
    [InlineData(44_100)]
    [InlineData(48_000)]
    [InlineData(88_200)]
    [InlineData(96_000)]
    [InlineData(192_000)]
    [InlineData(384_000)]
    public void A_full_scale_997_Hz_sine_in_one_channel_reads_minus_3_01(int sampleRateHz)
    {
        for (var channel = 0; channel < 3; channel++)
        {
            double[] levels = [double.NegativeInfinity, double.NegativeInfinity, double.NegativeInfinity];
            levels[channel] = 0;
            var meter = new LoudnessMeter(3, sampleRateHz);
            meter.Add(EbuSignals.Tone(sampleRateHz, 997, 3, levels));
            Measured.Within(-3.01, meter.IntegratedLufs, 0.1, $"LKFS, channel {channel}");
        }
    }

    /// <summary>A gain in front of the meter moves the reading by that gain: 1e-3 LU is the float rounding of the quietest tone.</summary>
    [Theory]
    [InlineData(-6)]
    [InlineData(-23)]
    [InlineData(-60)]
    public void Loudness_follows_level(double levelDbfs)
    {
        Measured.Within(levelDbfs, Read(levelDbfs) - Read(0), 1e-3, "LU");

        static double Read(double level)
        {
            var meter = new LoudnessMeter(1, 48_000);
            meter.Add(EbuSignals.Tone(48_000, 997, 5, level));
            return meter.IntegratedLufs;
        }
    }

    /// <summary>Table 3: +1.5 dB for a surround, as 1.41 in power; left against left surround of 5.0 and 5.1.</summary>
    [Theory]
    [InlineData(5, 3)]
    [InlineData(6, 4)]
    public void A_surround_channel_counts_1_41_times(int channelCount, int surroundIndex)
    {
        Measured.Within(10 * Math.Log10(1.41), Read(surroundIndex) - Read(0), 1e-9, "LU");

        double Read(int channelIndex)
        {
            var levels = Enumerable.Repeat(double.NegativeInfinity, channelCount).ToArray();
            levels[channelIndex] = -20;
            var meter = new LoudnessMeter(channelCount, 48_000);
            meter.Add(EbuSignals.Tone(48_000, 1000, 3, levels));
            return meter.IntegratedLufs;
        }
    }

    /// <summary>
    /// Annex 1: the relative gate stands 10 LU below the mean of all that is over −70 LUFS. A minute of tone, then 20 s of it lower: just
    /// over the gate they count, just under it they do not; the mean is worked out from the levels. 0.02 LU: the blocks on the edge.
    /// </summary>
    [Theory]
    [InlineData(-10.8, true)]
    [InlineData(-11.4, false)]
    public void The_relative_gate_stands_10_LU_down(double dropDb, bool counts)
    {
        // Mean of all: 10·log10((60 + 20·10^(drop/10))/80), −1.1 dB for both drops, so the gate lies 11.1 LU down.
        var meter = new LoudnessMeter(2, 48_000);
        meter.Add(EbuSignals.Stereo(48_000, (-20, 60), (-20 + dropDb, 20)));
        var wanted = counts ? 10 * Math.Log10((60 + 20 * Math.Pow(10, dropDb / 10)) / 80) : 0;
        Measured.Within(-20 + wanted, meter.IntegratedLufs, 0.02, "LUFS");
    }

    /// <summary>As the sample rate rises the grid gets finer by itself: at 96 kHz twice is asked for, at 192 kHz nothing.</summary>
    [Theory]
    [InlineData(8_000, 4)]
    [InlineData(48_000, 4)]
    [InlineData(88_200, 4)]
    [InlineData(96_000, 2)]
    [InlineData(176_400, 2)]
    [InlineData(192_000, 1)]
    public void Oversampling_is_as_Annex_2_asks(int sampleRateHz, int times) =>
        Assert.Equal(times, new TruePeakMeter(sampleRateHz).Oversampling);

    /// <summary>At twice, a tone of fs/6 is under-read by no more than 20·log10 cos(π/(6·2)) = −0.30 dB.</summary>
    [Fact]
    public void At_96_kHz_the_grid_is_half_as_fine()
    {
        var worst = 0.0;
        for (var phase = 0.0; phase < 360; phase += 5)
        {
            var meter = new LoudnessMeter(2, 96_000);
            meter.Add(EbuSignals.PeakTone(96_000, 1 / 6.0, 0.9, phase));
            var error = meter.TruePeakDbtp - 20 * Math.Log10(0.9);
            Measured.AtMost(0.02, error, $"dB at {phase}°");
            worst = Math.Min(worst, error);
        }
        Measured.Within(20 * Math.Log10(Math.Cos(Math.PI / 12)), worst, 0.02, "dB, the most under-read");
    }

    /// <summary>Annex 2, Attachment 1: at four times, a tone of fs/4 is under-read by no more than 20·log10 cos(π·0.25/4) = −0.169 dB.</summary>
    [Fact]
    public void The_true_peak_of_a_tone_is_under_read_by_no_more_than_the_grid_allows()
    {
        var bound = 20 * Math.Log10(Math.Cos(Math.PI * 0.25 / 4));
        for (var phase = 0.0; phase < 360; phase += 7)
        {
            var meter = new LoudnessMeter(2, 48_000);
            meter.Add(EbuSignals.PeakTone(48_000, 0.25, 0.9, phase));
            var error = meter.TruePeakDbtp - 20 * Math.Log10(0.9);
            // 0.02 dB: the ripple of the interpolating filter.
            Measured.AtLeast(bound - 0.02, error, $"dB at {phase}°");
            Measured.AtMost(0.02, error, $"dB at {phase}°");
        }
    }
}
