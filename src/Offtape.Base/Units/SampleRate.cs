namespace Offtape.Base;

/// <summary>A sample rate in whole hertz, 8 000 to 384 000.</summary>
public readonly record struct SampleRate
{
    public const int LowestHz = 8_000;
    public const int HighestHz = 384_000;

    public SampleRate(int hertz)
    {
        if (!IsSupported(hertz))
            throw new ArgumentOutOfRangeException(nameof(hertz), hertz, $"A sample rate lies between {LowestHz} and {HighestHz} Hz.");
        Hertz = hertz;
    }

    public int Hertz { get; }

    public double NyquistHz => Hertz / 2.0;

    public static bool IsSupported(int hertz) => hertz is >= LowestHz and <= HighestHz;

    public override string ToString() => $"{Hertz} Hz";
}
