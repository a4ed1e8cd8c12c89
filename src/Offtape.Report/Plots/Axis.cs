namespace Offtape.Report;

public enum AxisScale
{
    Linear,

    /// <summary>Equal ratios take equal room; ticks at the nominal octaves 31.5, 63, 125 … of IEC 61260-1.</summary>
    Logarithmic,

    /// <summary>Seconds, written as minutes:seconds.</summary>
    Clock,
}

/// <summary>
/// One axis: what it shows and its unit. Without <see cref="Min"/> and <see cref="Max"/> it holds all that is drawn.
/// </summary>
public sealed record Axis(string Name, string Unit = "", AxisScale Scale = AxisScale.Linear)
{
    /// <summary>The lower end, in the axis's unit; null to hold all that is drawn. Above zero on a logarithmic axis.</summary>
    public double? Min { get; init; }

    /// <summary>The upper end, in the axis's unit; null to hold all that is drawn.</summary>
    public double? Max { get; init; }

    /// <summary>A time axis: values in seconds, ticks as minutes:seconds.</summary>
    public static Axis Clock(string name, double? min = null, double? max = null) =>
        new(name, "min:s", AxisScale.Clock) { Min = min, Max = max };

    /// <summary>A logarithmic frequency axis in hertz.</summary>
    public static Axis Frequency(string name = "frequency", double? min = null, double? max = null) =>
        new(name, "Hz", AxisScale.Logarithmic) { Min = min, Max = max };

    public static Axis Linear(string name, string unit = "", double? min = null, double? max = null) =>
        new(name, unit) { Min = min, Max = max };

    /// <summary>Sample values of a waveform, 1 = full scale.</summary>
    public static Axis Amplitude(double? peak = null) => new("amplitude", "full scale") { Min = -peak, Max = peak };

    internal string Caption => Unit.Length == 0 ? Name : $"{Name}, {Unit}";
}
