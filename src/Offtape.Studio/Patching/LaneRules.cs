using Offtape.Base;

namespace Offtape.Studio;

/// <summary>
/// What is to be said of one output joined to one input. The limits of level are the program's own (common practice, no source): within 3 dB
/// nothing is said; up to 15 dB too hot or 20 dB too weak the interface's own trim makes up for it; beyond that it needs an attenuator or a
/// preamplifier.
/// </summary>
public static class LaneRules
{
    public const double UnsaidDb = 3;
    public const double TooHotDb = 15;
    public const double TooWeakDb = -20;

    /// <summary>A load that costs more than this is told.</summary>
    public const double LoadingLossDb = 3;

    /// <summary>A lead for each metre of which this hangs between the conductor and its screen (common practice, no source).</summary>
    public const double CablePicofaradsPerMetre = 100;

    // Above this a few metres of screened cable take treble away within the audible band.
    private const double HighOhms = 100_000;

    /// <summary>How much the input gets over what it wants, in dB: above zero it is too hot.</summary>
    public static double MismatchDb(SocketLane source, SocketLane sink, LaneFacts facts) =>
        source.LevelIntoDbu(sink.Ohms) - facts.AttenuationDb - sink.NominalDbu;

    /// <summary>All hazards of the lane, the worst first.</summary>
    /// <param name="source">The output.</param>
    /// <param name="sink">The input.</param>
    /// <param name="facts">What is between them.</param>
    /// <param name="areBothEarthed">Both things have a safety earth on their chassis.</param>
    /// <param name="where">Which sockets, for the words.</param>
    public static IReadOnlyList<Hazard> Judge(SocketLane source, SocketLane sink, LaneFacts facts, bool areBothEarthed, string where = "")
    {
        var hazards = new List<Hazard>();
        if (source.Kind == SignalKind.Speaker && !facts.TakesSpeakerLevel)
        {
            Add(
                HazardCode.SpeakerIntoLine,
                Severity.Refuse,
                "A loudspeaker output gives volts at amperes, and in bridged amplifiers neither wire is ground: it destroys a line input, or the amplifier.",
                "Take the line, tape or headphone output; or put a transformer made for it (loudspeaker to line) between."
            );
            return hazards;
        }
        Powers();
        Levels();
        Legs();
        if (
            source.Kind is not SignalKind.DinRecord
            && source.LevelIntoDbu(sink.Ohms) - source.NominalDbu is var loss
            && loss < -LoadingLossDb
        )
            Add(
                HazardCode.Loading,
                Severity.Warn,
                $"The input ({LevelWords.Ohms(sink.Ohms)}) loads the output ({LevelWords.Ohms(source.Ohms)}) and takes {Words.Number(-loss, 1)} dB off it.",
                "Turn the input up by that; treble and bass may suffer."
            );
        if (source.Ohms >= HighOhms)
            Add(
                HazardCode.HighImpedanceLead,
                Severity.Warn,
                "The output has so high an impedance that the cable itself takes treble away.",
                "Keep the lead under a metre."
            );
        return [.. hazards.OrderByDescending(h => h.Severity)];

        void Add(string code, Severity severity, string reason, string advice) =>
            hazards.Add(new Hazard(code, severity, where, reason, advice));

        void Powers()
        {
            var isBlocked = facts.BlocksDc || facts.IsIsolated;
            if (sink.Phantom == PhantomPower.On && !isBlocked)
                Add(
                    HazardCode.PhantomTowardsOutput,
                    Severity.Refuse,
                    "The input puts 48 V on the output of the machine.",
                    "Use a line input, switch phantom power off, or put a transformer between."
                );
            if (sink.Phantom == PhantomPower.Switched && !isBlocked)
                Add(
                    HazardCode.PhantomTowardsOutput,
                    Severity.Warn,
                    "The input can put 48 V on the output of the machine.",
                    "Switch phantom power off and wait a minute before plugging; better use a line input."
                );
            if (sink.HasPlugInPower && !isBlocked)
                Add(
                    HazardCode.PlugInPower,
                    Severity.Warn,
                    "The microphone socket puts a few volts on its tip.",
                    "Use an attenuator with a capacitor in line, or switch plug-in power off."
                );
            if (sink.HasAutomaticLevel)
                Add(
                    HazardCode.AutomaticLevel,
                    Severity.Warn,
                    "The machine sets its own record level: loud and quiet come out alike, and a pause fills with noise.",
                    "Send steady material, keep gaps short, and do not expect the balance of several sounds to hold."
                );
        }

        void Levels()
        {
            var mismatchDb = MismatchDb(source, sink, facts);
            var much = Words.Number(Math.Abs(mismatchDb), 1);
            if (mismatchDb > TooHotDb)
            {
                var (code, what) = sink.Kind switch
                {
                    SignalKind.DinRecord => (
                        HazardCode.DinRecordTooHot,
                        $"The DIN record line wants {LevelWords.Volts(Conversions.DbuToVolts(sink.NominalDbu))} (1 mV for each kΩ), and line level is {much} dB too hot for it."
                    ),
                    SignalKind.Microphone => (
                        HazardCode.LineIntoMicrophone,
                        $"The microphone input wants {LevelWords.Volts(Conversions.DbuToVolts(sink.NominalDbu))}, and the output is {much} dB too hot for it."
                    ),
                    _ => (HazardCode.TooHot, $"The output is {much} dB too hot for the input."),
                };
                Add(code, Severity.Refuse, what, Attenuators.Advice(source, sink, facts, mismatchDb));
            }
            else if (mismatchDb < TooWeakDb)
                Add(
                    source.Kind == SignalKind.DinRecord ? HazardCode.DinCurrentIntoLine : HazardCode.TooWeak,
                    Severity.Refuse,
                    source.Kind == SignalKind.DinRecord
                        ? $"A DIN record output gives 1 mV for each kΩ it is loaded with: here {LevelWords.Volts(Conversions.DbuToVolts(source.LevelIntoDbu(sink.Ohms)))}, {much} dB too little."
                        : $"The output is {much} dB too weak for the input.",
                    "It needs a preamplifier, or an input made for so little."
                );
            else if (Math.Abs(mismatchDb) > UnsaidDb)
                Add(
                    HazardCode.LevelMismatch,
                    Severity.Warn,
                    mismatchDb > 0 ? $"The input gets {much} dB more than it wants." : $"The input gets {much} dB less than it wants.",
                    mismatchDb > 0
                        ? $"Send {much} dB lower, or turn the input down by that."
                        : $"Turn the input up by {much} dB; its noise comes up as well."
                );
        }

        void Legs()
        {
            if (
                !facts.IsGroundJoined
                && !facts.IsIsolated
                && (source.Cold is null || sink.Cold is null || facts.SinkCold != ColdLeg.Joined)
            )
                Add(
                    HazardCode.GroundNotJoined,
                    Severity.Refuse,
                    "The sound has no way back: the grounds are not joined.",
                    "Use a cable that carries the ground."
                );
            if (source.Balance == Balance.Floating && facts.SourceCold == ColdLeg.Open)
                Add(
                    HazardCode.FloatingColdOpen,
                    Severity.Refuse,
                    "The output floats: with its cold leg open hardly any sound comes through.",
                    "Tie the cold leg to ground, at the unbalanced end."
                );
            if (facts.SinkCold == ColdLeg.Open)
                Add(
                    HazardCode.ColdLeftOpen,
                    Severity.Refuse,
                    "The cold leg of the balanced input is left open: it hums.",
                    "Tie the cold leg to ground at the unbalanced end."
                );
            if (source.Cold is not null && facts.SourceCold == ColdLeg.Ground && !facts.IsIsolated)
                Add(
                    HazardCode.BalancedIntoUnbalanced,
                    source.Balance == Balance.Active ? Severity.Warn : Severity.Note,
                    source.Balance == Balance.Active
                        ? "The lead ties the driven cold leg of the balanced output to ground: it may distort, and is 6 dB down."
                        : "The lead ties the cold leg of the balanced output to ground, as this output wants.",
                    source.Balance == Balance.Active
                        ? "Use a lead that leaves cold open (hot to tip, shield to sleeve), unless the handbook allows mono plugs."
                        : "Keep that lead short, away from mains leads."
                );
            else if (source.Cold is not null && facts.SourceCold == ColdLeg.Open)
                Add(
                    HazardCode.BalancedIntoUnbalanced,
                    Severity.Note,
                    "The balanced output runs unbalanced, its cold leg open: 6 dB down where both legs are driven.",
                    "Keep that lead short, away from mains leads."
                );
            if (sink.Cold is not null && facts.SinkCold == ColdLeg.Ground)
                Add(
                    HazardCode.UnbalancedIntoBalanced,
                    Severity.Note,
                    "The balanced input runs unbalanced: its cold leg is tied to ground.",
                    "Keep that lead short, away from mains leads."
                );
            if (areBothEarthed && !facts.IsIsolated && facts.IsGroundJoined && (source.Cold is null || sink.Cold is null))
                Add(
                    HazardCode.EarthLoop,
                    Severity.Warn,
                    "Both have a safety earth, and the cable joins their grounds a second time: a loop that can hum.",
                    "Feed both from the same outlet. If it hums, put an isolating transformer into the sound lead. Never take the safety earth off."
                );
        }
    }
}
