using Offtape.Base;

namespace Offtape.Studio;

/// <summary>Whether a machine can run from somebody's mains.</summary>
/// <param name="Refusal">Why it cannot, whatever is bought; null where it can.</param>
/// <param name="TransformerTo">The voltage that a mains transformer has to give; null where none is needed.</param>
/// <param name="Cautions">What to know about it.</param>
/// <param name="DoubtCount">How many things are not known that matter.</param>
public sealed record MainsVerdict(string? Refusal, double? TransformerTo, IReadOnlyList<string> Cautions, int DoubtCount)
{
    /// <summary>Mains voltages within this of each other are the same (EN 50160 gives a network ±10 %).</summary>
    private const double SameVoltage = 0.1;

    /// <summary>Looks at voltage and at frequency.</summary>
    public static MainsVerdict Of(Offer machine, double mainsVolts, double mainsHertz)
    {
        var features = machine.Features;
        if (features.HasBattery && machine.MainsVolts.Count == 0)
            return new(null, null, ["It runs from batteries; a mains adapter, where it has one, has to fit your mains."], 0);
        var cautions = new List<string>();
        var doubts = 0;
        double? transformer = null;
        if (machine.MainsVolts.Count == 0)
        {
            cautions.Add($"Its mains voltage is not told: ask before paying, yours is {mainsVolts:0} V.");
            doubts++;
        }
        else if (!machine.MainsVolts.Any(v => mainsVolts >= v.From * (1 - SameVoltage) && mainsVolts <= v.To * (1 + SameVoltage)))
        {
            transformer = machine.MainsVolts.Select(v => (v.From + v.To) / 2).MinBy(v => Math.Abs(v - mainsVolts));
            cautions.Add(
                $"It wants {transformer:0} V and you have {mainsVolts:0} V: it needs a mains transformer of enough watts, with its safety earth carried "
                    + "through. The wrong voltage destroys it, or starts a fire."
            );
        }
        if (machine.MainsHertz.Count > 0 && !machine.MainsHertz.Any(h => Math.Abs(h - mainsHertz) < 1))
        {
            var own = machine.MainsHertz[0];
            var off = Conversions.RatioToPercent(mainsHertz / own);
            var how = $"{Words.Number(Math.Abs(off), 0)} % {(off < 0 ? "slow" : "fast")}";
            if (features.Motor is MotorKind.Synchronous or MotorKind.Induction)
                return new(
                    $"its motor follows the mains: made for {own:0} Hz, it runs {how} on {mainsHertz:0} Hz, and no transformer cures that",
                    transformer,
                    cautions,
                    doubts
                );
            if (features.Motor == MotorKind.Unknown)
            {
                cautions.Add(
                    $"It is made for {own:0} Hz. If its motor follows the mains it runs {how} on {mainsHertz:0} Hz, and no transformer cures that: ask."
                );
                doubts++;
            }
        }
        return new(null, transformer, cautions, doubts);
    }

    /// <summary>Whether a mains transformer makes the one voltage of the other.</summary>
    public static bool Fits(double fromVolts, double toVolts, double mainsVolts, double wantedVolts) =>
        Near(fromVolts, mainsVolts) && Near(toVolts, wantedVolts);

    private static bool Near(double a, double b) => Math.Abs(a - b) <= SameVoltage * b;
}
