namespace Offtape.Signal;

/// <summary>Looks for one template in an input of any length, block by block: a <see cref="MatchedFilterBank"/> of one.</summary>
public sealed class MatchedFilter
{
    private readonly MatchedFilterBank bank;

    /// <param name="template">What to look for; at least one sample, not all zero.</param>
    /// <param name="quadrature">The same a quarter cycle late, where a formula gives it; empty: made from the template.</param>
    public MatchedFilter(ReadOnlySpan<float> template, ReadOnlySpan<float> quadrature = default) =>
        bank = new MatchedFilterBank([new MatchedTemplate(template, quadrature)]);

    /// <inheritdoc cref="MatchedFilterBank.LatencyFrames"/>
    public int LatencyFrames => bank.LatencyFrames;

    /// <inheritdoc cref="MatchedFilterBank.Process"/>
    public void Process(ReadOnlySpan<float> input, MatchedBlockHandler handler) => bank.Process(input, handler);

    /// <inheritdoc cref="MatchedFilterBank.Finish"/>
    public void Finish(MatchedBlockHandler handler) => bank.Finish(handler);

    /// <inheritdoc cref="MatchedFilterBank.Reset"/>
    public void Reset() => bank.Reset();
}
