using Offtape.Base;

namespace Offtape.Passes;

/// <summary>Options that contradict each other, before any work.</summary>
internal static class ReturnCheck
{
    internal static void Check(ReturnRequest request)
    {
        if (request.Captures.Count == 0)
            throw Fault.Usage("No capture is named", "Name the files that were recorded from the machine, or their folder.");
        if (request.Passes.Count == 0 && request.Sources.Count == 0)
            throw Fault.Usage("Nothing to look for", "Name the pass with --pass, or the clean sounds with --source.");
        if (request.Retimings.Count == 0)
            throw Fault.Usage("No retiming is named", "Use --retime steady, shift, fit or lock.");
        if (request.MatchLevel && request.Retimings.Contains(Retiming.Shift))
            throw Fault.Usage("--match-level changes samples, and shift changes none", "Leave one of them out.");
        if (request.Retimings.Contains(Retiming.Shift) && request.Retimings.Count == 1 && (request.SampleRateHz ?? 0) > 0)
            throw Fault.Usage("--rate changes samples, and shift changes none", "Leave one of them out.");
        if (request.Retimings.Contains(Retiming.Shift) && request.Retimings.Count == 1 && request.Encoding is not null)
            throw Fault.Usage("--depth changes samples, and shift changes none", "Leave one of them out.");
        if (request.SampleRateHz is { } rate && !SampleRate.IsSupported(rate))
            throw Fault.Usage($"{rate} Hz is no rate for a take", $"Choose one from {SampleRate.LowestHz} to {SampleRate.HighestHz} Hz.");
        if (!(request.TailSeconds is >= 0 and <= 3600) || !(request.HeadSeconds is >= 0 and <= 3600))
            throw Fault.Usage("--head and --tail take seconds from 0 to 3600");
        if (!(request.CornerHz is >= 0.01 and <= 20))
            throw Fault.Usage("--corner takes 0.01 to 20 Hz");
        if (request.Suffix.IndexOfAny(Path.GetInvalidFileNameChars()) >= 0 || request.Suffix.Contains('\\') || request.Suffix.Contains(':'))
            throw Fault.Usage("--suffix holds a character that a file name cannot");
    }
}
