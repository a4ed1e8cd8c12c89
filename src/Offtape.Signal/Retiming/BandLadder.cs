namespace Offtape.Signal;

/// <summary>
/// The kernels of every bandwidth. A bandwidth asked for is rounded down to the next rung of a fine ladder, so that one table serves a
/// whole neighbourhood; the kernel's pass band is wider by one rung to make up for it. Tables are immutable, made on first use and kept:
/// a pure function remembered, not state.
/// </summary>
internal static class BandLadder
{
    public const double RungRatio = 1.0025;

    /// <summary>The narrowest band, 1/64 of the input's Nyquist frequency: tape wound past the head at 64 times its speed.</summary>
    public const double LowestBandwidth = 1.0 / 64;

    private static readonly Lazy<RetimerKernel>[] Rungs = MakeRungs();

    public static RetimerKernel ForBandwidth(double bandwidth) => Rungs[RungFor(bandwidth)].Value;

    public static RetimerKernel ForStep(double stepFrames) => ForBandwidth(BandwidthForStep(stepFrames));

    /// <summary>min(1, 1/|step|), the band that both sides of the retimer can carry.</summary>
    public static double BandwidthForStep(double stepFrames)
    {
        var speed = Math.Abs(stepFrames);
        if (!(speed <= 1 / LowestBandwidth))
            throw new ArgumentOutOfRangeException(
                nameof(stepFrames),
                stepFrames,
                $"A step lies between -{1 / LowestBandwidth} and {1 / LowestBandwidth} frames."
            );
        return speed > 1 ? 1 / speed : 1;
    }

    /// <summary>Taps of a rung's kernel; known without making its table.</summary>
    public static int TapCountFor(double bandwidth) => RetimerKernel.TapCountFor(BandwidthOfRung(RungFor(bandwidth)));

    private static int RungFor(double bandwidth)
    {
        if (!(bandwidth is >= LowestBandwidth and <= 1))
            throw new ArgumentOutOfRangeException(
                nameof(bandwidth),
                bandwidth,
                $"A bandwidth is a share of the input's Nyquist frequency, {LowestBandwidth} to 1."
            );
        // A bandwidth that lies on a rung but for rounding belongs to that rung.
        return (int)Math.Ceiling(-Math.Log(bandwidth) / Math.Log(RungRatio) - 1e-9);
    }

    private static double BandwidthOfRung(int rung) => Math.Pow(RungRatio, -rung);

    private static Lazy<RetimerKernel>[] MakeRungs()
    {
        var rungs = new Lazy<RetimerKernel>[RungFor(LowestBandwidth) + 1];
        for (var rung = 0; rung < rungs.Length; rung++)
        {
            var bandwidth = BandwidthOfRung(rung);
            rungs[rung] = new Lazy<RetimerKernel>(() => new RetimerKernel(bandwidth));
        }
        return rungs;
    }
}
