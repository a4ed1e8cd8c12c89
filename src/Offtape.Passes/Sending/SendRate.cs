using Offtape.Base;

namespace Offtape.Passes;

/// <summary>The sample rate of a send.</summary>
internal static class SendRate
{
    // The retimer's limit.
    private const double LargestStepFrames = 64;

    /// <summary>The rate asked for, else the sources' own, else the highest of theirs.</summary>
    internal static int Choose(IReadOnlyList<SourceFile> sources, SendRequest request, List<Notice> notices)
    {
        var rates = sources.Select(s => s.SampleRateHz).Distinct().Order().ToArray();
        var rate = request.SampleRateHz ?? rates[^1];
        RequestCheck.CheckSlateRate(request, rate);
        var others = sources.Where(s => s.SampleRateHz != rate).Select(s => s.Name).ToArray();
        if (others.Length > 0)
            notices.Add(
                new Notice(
                    "rate-changed",
                    (
                        request.SampleRateHz is null
                            ? $"The sources have {rates.Length} sample rates; the send takes the highest, {rate} Hz. "
                            : ""
                    ) + $"Retimed to {rate} Hz: {Words.List(others)}."
                )
            );
        foreach (var source in sources)
        {
            var step = SendPlan.StepFrames(source.SampleRateHz, rate, request.PrintRatio);
            if (step > LargestStepFrames)
                throw Fault.Usage(
                    $"{source.Name} at {source.SampleRateHz} Hz cannot be printed {1 / request.PrintRatio:0.##} times as fast into {rate} Hz",
                    "Give a higher --rate, or a --print-ratio nearer to 1."
                );
        }
        var narrowed = sources.Where(s => s.SampleRateHz > rate * request.PrintRatio * (1 + 1e-9)).ToArray();
        if (narrowed.Length > 0)
            notices.Add(
                new Notice(
                    "band-limited",
                    $"A send of {rate} Hz at a printing ratio of {request.PrintRatio:0.###} holds the sounds up to "
                        + $"{Words.Number(rate * request.PrintRatio / 2000, 1)} kHz only: {Words.List([.. narrowed.Select(s => s.Name)])}."
                )
            );
        return rate;
    }
}
