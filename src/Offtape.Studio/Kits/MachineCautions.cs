namespace Offtape.Studio;

/// <summary>What to know of a machine before it is paid for and before it is switched on.</summary>
internal static class MachineCautions
{
    public static IEnumerable<string> Of(Offer machine)
    {
        var features = machine.Features;
        if (features.HasWornLead)
            yield return "Its mains lead is worn: do not plug it in before a licensed repair person has fitted a new one.";
        if (!features.HasBattery && machine.MainsVolts.Count > 0)
            yield return "Old capacitors across the mains can fail with a bang: have it looked at, and do not leave it on unattended. Leave the covers closed.";
        if (machine.Condition == OfferCondition.Untested)
            yield return "Untested means that nobody promises anything: hear it run, or pay as for a faulty one.";
        if (machine.Condition == OfferCondition.Faulty)
            yield return "It is faulty: the figure for repairs is a guess until somebody has looked at it.";
        yield return features.TapeTypes.Count > 0
            ? $"It is biased for tape of type {string.Join(" or ", features.TapeTypes)}; other tape sounds dull or sharp and distorts."
            : "Which tape it is biased for is not told: look at its switches or its handbook.";
        yield return features.Format == "reel"
            ? "Old reels may shed a sticky brown film: stop at once, clean, and do not play them again. Tape with mould stays in its bag: the spores are bad for lungs and heads."
            : "Leave cassettes with mould or a lost pressure pad alone.";
    }
}
