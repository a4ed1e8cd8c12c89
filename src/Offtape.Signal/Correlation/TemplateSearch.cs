namespace Offtape.Signal;

/// <summary>
/// The places in an input of any length at which one of several templates fits best, by normalised correlation: coarse audio search. The
/// templates may be one sound at several speeds, or several sounds. A match is a frame whose correlation is the highest, over all
/// templates, within a separation on either side (of equal ones the first); of these the highest are kept. Memory does not grow with the input.
/// </summary>
public sealed class TemplateSearch
{
    private readonly MatchedFilterBank bank;
    private readonly MatchedBlockHandler take;
    private readonly int templateCount;
    private readonly int separationFrames;
    private readonly double lowestCorrelation;
    private readonly TemplateMatch[] blockBest;
    private readonly TemplateMatch[] falling;
    private readonly TemplateMatch[] kept;
    private int fallingFirst;
    private int fallingCount;
    private int keptCount;
    private long frameCount;

    /// <param name="templates">At least one.</param>
    /// <param name="matchCount">How many matches to keep; at least 1.</param>
    /// <param name="separationFrames">A match is the highest so far to either side; at least 1.</param>
    /// <param name="lowestCorrelation">What lies below is no match; 0 to 1.</param>
    public TemplateSearch(IReadOnlyList<MatchedTemplate> templates, int matchCount, int separationFrames, double lowestCorrelation = 0.05)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(matchCount);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(separationFrames);
        bank = new MatchedFilterBank(templates);
        take = Take;
        templateCount = templates.Count;
        this.separationFrames = separationFrames;
        this.lowestCorrelation = lowestCorrelation;
        blockBest = new TemplateMatch[bank.LongestBlockFrames];
        falling = new TemplateMatch[2 * separationFrames + 1];
        kept = new TemplateMatch[matchCount];
    }

    /// <summary>The best places in a signal that lies in memory, the highest first.</summary>
    public static IReadOnlyList<TemplateMatch> Find(
        ReadOnlySpan<float> template,
        ReadOnlySpan<float> signal,
        int matchCount,
        int separationFrames
    )
    {
        var search = new TemplateSearch([MatchedTemplate.InPhaseOnly(template)], matchCount, separationFrames);
        search.Process(signal);
        return search.Finish();
    }

    /// <summary>Takes any number of input samples.</summary>
    public void Process(ReadOnlySpan<float> input) => bank.Process(input, take);

    /// <summary>Ends the input as if silence followed, gives the matches, the highest first, and begins anew.</summary>
    public IReadOnlyList<TemplateMatch> Finish()
    {
        bank.Finish(take);
        // What stands within the separation of the end has waited for what comes after.
        for (var i = 0; i < separationFrames; i++)
            Slide(new TemplateMatch(frameCount++, 0, 1, double.NegativeInfinity, 0));
        var matches = kept[..keptCount];
        (fallingFirst, fallingCount, keptCount, frameCount) = (0, 0, 0, 0);
        return matches;
    }

    private void Take(in MatchedBlock block)
    {
        for (var i = 0; i < block.Count; i++)
        {
            var correlation = block.NormalisedCorrelation(i);
            if (block.TemplateIndex == 0 || correlation > blockBest[i].Correlation)
            {
                var polarity = block.Re[i] < 0 ? -1 : 1;
                blockBest[i] = new TemplateMatch(block.StartFrame + i, block.TemplateIndex, polarity, correlation, block.Amplitude(i));
            }
        }
        if (block.TemplateIndex < templateCount - 1)
            return;
        for (var i = 0; i < block.Count; i++)
            Slide(blockBest[i]);
        frameCount = block.StartFrame + block.Count;
    }

    // The highest of a sliding window of 2·separation + 1 frames: a queue of falling heights, whose first is the highest. When the window
    // stands about its own highest frame, that is a match.
    private void Slide(TemplateMatch next)
    {
        while (fallingCount > 0 && Falling(fallingCount - 1).Correlation < next.Correlation)
            fallingCount--;
        if (fallingCount > 0 && Falling(0).StartFrame < next.StartFrame - 2 * separationFrames)
        {
            fallingFirst = (fallingFirst + 1) % falling.Length;
            fallingCount--;
        }
        falling[(fallingFirst + fallingCount++) % falling.Length] = next;
        var highest = Falling(0);
        if (highest.StartFrame == next.StartFrame - separationFrames && highest.Correlation >= lowestCorrelation)
            Keep(highest);
    }

    private ref TemplateMatch Falling(int index) => ref falling[(fallingFirst + index) % falling.Length];

    private void Keep(TemplateMatch match)
    {
        if (keptCount == kept.Length && kept[^1].Correlation >= match.Correlation)
            return;
        if (keptCount < kept.Length)
            keptCount++;
        var at = keptCount - 1;
        for (; at > 0 && kept[at - 1].Correlation < match.Correlation; at--)
            kept[at] = kept[at - 1];
        kept[at] = match;
    }
}
