namespace Offtape.Signal;

/// <summary>
/// A run of a matched filter's output. Index i belongs to the input frame <see cref="StartFrame"/> + i, at which the template would begin.
/// Valid only during the call that hands it over.
/// </summary>
public readonly ref struct MatchedBlock
{
    internal MatchedBlock(
        int templateIndex,
        long startFrame,
        ReadOnlySpan<float> re,
        ReadOnlySpan<float> im,
        ReadOnlySpan<float> localEnergy,
        double templateEnergy
    )
    {
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

    /// <summary>Quadrature output: the phase of the match is the angle of Re + i·Im.</summary>
    public ReadOnlySpan<float> Im { get; }

    /// <summary>Sum of the squared input samples under the template.</summary>
    public ReadOnlySpan<float> LocalEnergy { get; }

    public double TemplateEnergy { get; }

    /// <summary>The envelope: how many times as large as the template the match at index i is, whatever its phase.</summary>
    public double Amplitude(int i) => Math.Sqrt((double)Re[i] * Re[i] + (double)Im[i] * Im[i]);

    /// <summary>The envelope against the most that an input of this local energy could give: 0 to 1, and 1 only for the template alone.</summary>
    public double NormalisedCorrelation(int i) =>
        LocalEnergy[i] > 0 ? Math.Min(1, Amplitude(i) * Math.Sqrt(TemplateEnergy / LocalEnergy[i])) : 0;
}

/// <summary>Receives the runs of a matched filter's output in order of time, for each template of the bank in turn.</summary>
public delegate void MatchedBlockHandler(in MatchedBlock block);
