namespace Offtape.Signal;

/// <summary>
/// A run of a matched filter's output. Index i belongs to the input frame <see cref="StartFrame"/> + i, at which the template would begin.
/// Valid only during the call that hands it over.
/// </summary>
public readonly ref struct MatchedBlock
{
    private readonly double energyFloor;

    internal MatchedBlock(
        int templateIndex,
        long startFrame,
        ReadOnlySpan<float> re,
        ReadOnlySpan<float> im,
        ReadOnlySpan<float> localEnergy,
        double templateEnergy,
        double energyFloor
    )
    {
        this.energyFloor = energyFloor;
        TemplateIndex = templateIndex;
        StartFrame = startFrame;
        Re = re;
        Im = im;
        LocalEnergy = localEnergy;
        TemplateEnergy = templateEnergy;
    }

    /// <summary>Which template of the bank, from 0.</summary>
    public int TemplateIndex { get; }

    public long StartFrame { get; }

    public int Count => Re.Length;

    /// <summary>In-phase output: 1 where the input is the template itself, −1 where it is the template upside down.</summary>
    public ReadOnlySpan<float> Re { get; }

    /// <summary>
    /// Quadrature output: where the input is the template advanced by φ of phase, Re + i·Im = e^(iφ). Empty for a template without quadrature.
    /// </summary>
    public ReadOnlySpan<float> Im { get; }

    /// <summary>Sum of the squared input samples under the template.</summary>
    public ReadOnlySpan<float> LocalEnergy { get; }

    public double TemplateEnergy { get; }

    /// <summary>The envelope: how many times as large as the template the match at index i is, whatever its phase.</summary>
    public double Amplitude(int i)
    {
        var (re, im) = ((double)Re[i], Im.IsEmpty ? 0.0 : Im[i]);
        return Math.Sqrt(re * re + im * im);
    }

    /// <summary>
    /// <see cref="Amplitude"/> against the most that an input of this local energy could give: 0 to 1, and 1 only where the input under the
    /// template is the template and nothing else. Near 0 where the input is silent, or 110 dB below what surrounds it.
    /// </summary>
    public double NormalisedCorrelation(int i)
    {
        var energy = LocalEnergy[i] + energyFloor;
        return energy > 0 ? Math.Min(1, Amplitude(i) * Math.Sqrt(TemplateEnergy / energy)) : 0;
    }
}

/// <summary>Receives the runs of a matched filter's output: block by block in order of time, and within a block template by template.</summary>
public delegate void MatchedBlockHandler(in MatchedBlock block);
