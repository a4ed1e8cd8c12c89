namespace Offtape.Base;

/// <summary>The speed of tape past the heads, in centimetres per second; inches are read and written, never stored.</summary>
public readonly record struct TapeSpeed
{
    public TapeSpeed(double cmPerSecond)
    {
        if (!(cmPerSecond is > 0.5 and < 400))
            throw new ArgumentOutOfRangeException(nameof(cmPerSecond), cmPerSecond, "A tape speed lies between 0.5 and 400 cm/s.");
        CmPerSecond = cmPerSecond;
    }

    public double CmPerSecond { get; }

    public double InchesPerSecond => Conversions.CmToInches(CmPerSecond);

    public double MetresPerSecond => CmPerSecond / 100;

    public static TapeSpeed FromInchesPerSecond(double inchesPerSecond) => new(Conversions.InchesToCm(inchesPerSecond));

    /// <summary>The length on tape of one period, in micrometres.</summary>
    public double WavelengthMicrometres(double frequencyHz) => CmPerSecond * 1e4 / frequencyHz;

    public override string ToString() => $"{CmPerSecond:0.##} cm/s";
}
