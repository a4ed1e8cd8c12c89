namespace Offtape.Passes.Mapping;

/// <summary>Half-octave bands of a spectrum: what disturbs a moment (a dropout, a click, a distorted note) disturbs some of them.</summary>
internal sealed class BandPlan
{
    private const double LowestEdgeHz = 60;

    /// <param name="binHz">Width of a bin.</param>
    /// <param name="lowHz">Bins below are left out.</param>
    /// <param name="highHz">Bins from here on are left out.</param>
    internal BandPlan(double binHz, double lowHz, double highHz)
    {
        var firstBin = (int)Math.Ceiling(lowHz / binHz);
        var endBin = (int)Math.Ceiling(highHz / binHz);
        var starts = new List<int> { firstBin };
        for (var k = 0; ; k++)
        {
            var edge = (int)Math.Ceiling(LowestEdgeHz * Math.Pow(2, k / 2.0) / binHz);
            if (edge >= endBin)
                break;
            if (edge > starts[^1])
                starts.Add(edge);
        }
        starts.Add(endBin);
        Starts = [.. starts];
    }

    /// <summary>First bin of each band, and the end of the last.</summary>
    internal int[] Starts { get; }

    internal int Count => Starts.Length - 1;

    internal int FirstBin => Starts[0];

    internal int EndBinExcl => Starts[^1];

    internal int BinsIn(int band) => Starts[band + 1] - Starts[band];

    /// <summary>The band that holds a bin; the nearest for bins outside.</summary>
    internal int BandOf(int bin)
    {
        var found = Array.BinarySearch(Starts, bin);
        return Math.Clamp(found >= 0 ? found : ~found - 1, 0, Count - 1);
    }
}
