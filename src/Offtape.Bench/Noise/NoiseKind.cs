namespace Offtape.Bench;

/// <summary>A way of stating noise as one figure.</summary>
/// <param name="Name">End of the quantity's name.</param>
/// <param name="Method">In a few words.</param>
/// <param name="Standard">What it follows.</param>
internal sealed record NoiseKind(string Name, string Method, string Standard)
{
    // The band of the unweighted figure is that of IEC 60268-1, from memory.
    internal static NoiseKind Unweighted { get; } =
        new("Unweighted", "root mean square from 22.4 Hz to 22.4 kHz, or to half of the sample rate", "IEC 60268-1");

    internal static NoiseKind AWeighted { get; } = new("AWeighted", "A-weighted root mean square", "IEC 61672-1");

    internal static NoiseKind QuasiPeak { get; } =
        new("QuasiPeak", "weighted quasi-peak, the mean of the meter over the stretch", "ITU-R BS.468-4");

    internal static IReadOnlyList<NoiseKind> All { get; } = [Unweighted, AWeighted, QuasiPeak];
}
