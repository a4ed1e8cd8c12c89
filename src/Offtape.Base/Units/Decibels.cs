namespace Offtape.Base;

/// <summary>A level or gain in decibels of amplitude. Negative infinity is silence.</summary>
public readonly record struct Decibels(double Value)
{
    public double AmplitudeLinear => Conversions.DbToAmplitude(Value);

    public static Decibels FromAmplitude(double amplitudeLinear) => new(Conversions.AmplitudeToDb(amplitudeLinear));

    public override string ToString() => Words.Signed(Value, 1) + " dB";
}
