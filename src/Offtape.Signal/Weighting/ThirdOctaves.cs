namespace Offtape.Signal;

/// <summary>Third-octave bands by IEC 61260-1:2014, base ten: mid-band frequencies 1000·G^(x/3) Hz with G = 10^(3/10), edges G^(±1/6) away.</summary>
public static class ThirdOctaves
{
    // Nominal mid-band frequencies of one decade (IEC 61260-1, Annex E).
    private static ReadOnlySpan<double> NominalDecade => [1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8];

    /// <summary>Exact mid-band frequency of a band; 0 is 1 kHz, −1 the band below.</summary>
    public static double MidHz(int band) => 1000 * Math.Pow(10, band / 10.0);

    /// <summary>What one calls it: 31.5 for 31.62 Hz.</summary>
    public static double NominalHz(int band)
    {
        var decade = (int)Math.Floor(band / 10.0);
        return 1000 * Math.Pow(10, decade) * NominalDecade[band - 10 * decade];
    }

    public static double LowerHz(int band) => MidHz(band) / EdgeRatio;

    public static double UpperHz(int band) => MidHz(band) * EdgeRatio;

    /// <summary>The band that a frequency lies in.</summary>
    public static int BandOf(double frequencyHz) => (int)Math.Floor(10 * Math.Log10(frequencyHz / 1000) + 0.5);

    /// <summary>G^(1/6) = 10^(1/20).</summary>
    private static readonly double EdgeRatio = Math.Pow(10, 0.05);
}
