namespace Offtape.Signal;

/// <summary>
/// Loudness values counted in bins of 0.01 LU from the absolute gate of −70 LUFS up, each with the energy it holds: what gating needs of
/// a programme of any length, in memory that does not grow with it.
/// </summary>
internal sealed class LoudnessHistogram
{
    /// <summary>ITU-R BS.1770-5, Annex 1, and EBU Tech 3342: the absolute gate.</summary>
    public const double AbsoluteGateLufs = -70;

    private const double BinLu = 0.01;

    // Up to +30 LUFS, beyond anything that full scale allows in 64 channels; louder values of float files fall in the last bin.
    private const int BinCount = 10_000;

    private readonly long[] _counts = new long[BinCount];
    private readonly double[] _energies = new double[BinCount];

    public void Add(double energy)
    {
        var lufs = LoudnessMeter.EnergyToLufs(energy);
        if (!(lufs > AbsoluteGateLufs))
            return;
        var bin = Math.Min(BinCount - 1, (int)((lufs - AbsoluteGateLufs) / BinLu));
        _counts[bin]++;
        _energies[bin] += energy;
    }

    /// <summary>The mean energy of everything at or above a gate, and how many values that are; 0 of 0 when there is nothing.</summary>
    public (double MeanEnergy, long Count) MeanAbove(double gateLufs)
    {
        double energy = 0;
        long count = 0;
        for (var bin = FirstBinAbove(gateLufs); bin < BinCount; bin++)
        {
            energy += _energies[bin];
            count += _counts[bin];
        }
        return (count > 0 ? energy / count : 0, count);
    }

    /// <summary>The value of a rank (0 = quietest) among those above a gate, in LUFS.</summary>
    public double ValueOfRank(double gateLufs, long rank)
    {
        for (var bin = FirstBinAbove(gateLufs); bin < BinCount; bin++)
        {
            rank -= _counts[bin];
            if (rank < 0)
                return LoudnessMeter.EnergyToLufs(_energies[bin] / _counts[bin]);
        }
        return double.NegativeInfinity;
    }

    public void Reset()
    {
        Array.Clear(_counts);
        Array.Clear(_energies);
    }

    // A bin belongs above the gate when what it holds does, on average: the gate then cuts to 0.01 LU.
    private int FirstBinAbove(double gateLufs)
    {
        var bin = Math.Clamp((int)((gateLufs - AbsoluteGateLufs) / BinLu), 0, BinCount - 1);
        var holds = _counts[bin] > 0 && LoudnessMeter.EnergyToLufs(_energies[bin] / _counts[bin]) > gateLufs;
        return holds ? bin : bin + 1;
    }
}
