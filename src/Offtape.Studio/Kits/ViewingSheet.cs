using Offtape.Base;
using Offtape.Report;

namespace Offtape.Studio;

/// <summary>
/// What to look at and listen for in ten minutes at the seller's, as a printed page; with the recording of a steady tone on a phone, which
/// <c>offtape bench tone</c> reads at home. Common practice, no source.
/// </summary>
public static class ViewingSheet
{
    public static Sheet Of(Offer machine, KitRequest? request = null, PaperSize? paper = null)
    {
        return Sheet
            .Create($"Viewing: {machine.Title}", paper)
            .Lead(Lead(machine, request))
            .Footer("ten minutes at the seller's")
            .Add(
                new ColumnsBlock(Before(machine, request), Running(machine)),
                new ColumnsBlock(
                    [
                        new HeadingBlock(2, "The tone, for the phone"),
                        new ChecklistBlock([.. Tone(machine)]),
                        new CommandsBlock(["offtape bench tone tone.wav"]),
                    ],
                    [new HeadingBlock(2, "What is told"), new FactsBlock(Facts(machine)), .. Mains(machine, request)]
                )
            );
    }

    private static string Lead(Offer machine, KitRequest? request)
    {
        var currency = request?.Currency is { Length: > 0 } told ? " " + told : "";
        var shipping = machine.Shipping > 0 ? $", {machine.Shipping:0.00}{currency} to ship" : "";
        return $"{machine.Price:0.00}{currency}{shipping}, said to be {machine.Condition.ToString().ToLowerInvariant()}.";
    }

    private static IReadOnlyList<Block> Before(Offer machine, KitRequest? request)
    {
        var features = machine.Features;
        List<string> look =
        [
            "Bring a tape you know, headphones with the right plug, a cotton swab, a torch, this page.",
            .. features.HasBattery
                ? Array.Empty<string>()
                : ["Mains lead and plug: whole, not brittle, not taped, no bare wire. If not, do not let it be plugged in."],
            .. features.HasBattery
                ? Array.Empty<string>()
                :
                [
                    $"The plate at the back: volts and hertz{(request is null ? "" : $"; yours are {request.MainsVolts:0} V and {request.MainsHertz:0} Hz")}. Is there a voltage switch, and where does it stand?",
                ],
            "Heads, by the torch: a step you can feel with a fingernail is wear; a brown film is only dirt.",
            "Pinch roller: even, not shiny, not sticky. Belts: ask when they were last changed.",
            features.Format == "reel"
                ? "Brakes: both reels stop together, without a loop of tape."
                : "The door opens and closes by itself; the counter turns.",
            "Sockets: all tight; the ones you need are there: "
                + Words.List([.. machine.Ports.Select(p => $"{p.Name} ({p.Sockets[0].Shape.Words})")])
                + ".",
            "Smell: burnt or fishy is a component on its way out. Stop there.",
        ];
        return [new HeadingBlock(2, "Before it is on"), new ChecklistBlock(look)];
    }

    private static IReadOnlyList<Block> Running(Offer machine)
    {
        var features = machine.Features;
        var channels = machine.Ports.Select(p => p.Lanes(Flow.In).Count()).DefaultIfEmpty(0).Max();
        List<string> run =
        [
            "Play your tape: both channels there, equally bright? Do not touch the azimuth; only listen.",
            "A held piano note, a steady voice: does it waver?",
            "Wind both ways, to the end: no squeal, no stopping, even packs.",
            channels > 2
                ? $"Record a counted voice on each of the {channels} tracks, and hear each back alone."
                : "Record a minute of voice and silence on every channel, and hear it back.",
            "Record over it: is the old sound gone? A ghost of it means a dirty or dead erase head.",
            .. features.HasOffTape
                ? ["Switch the monitor from source to tape while it records: the sound comes back a moment later, nearly as bright."]
                : Array.Empty<string>(),
            .. features.HasPitch ? ["Turn the pitch control from end to end: smooth, without jumps, and it holds."] : Array.Empty<string>(),
            .. features.SpeedsCmPerSecond.Count > 1
                ? ["Try every speed: " + string.Join(", ", features.SpeedsCmPerSecond.Select(s => $"{s:0.##} cm/s")) + "."]
                : Array.Empty<string>(),
            "Every switch and pot, slowly: crackle is dirt and can be cleaned, silence in a place is worse.",
            "After ten minutes: warm is right, hot or humming is not.",
        ];
        return
        [
            new HeadingBlock(2, "While it runs"),
            new ChecklistBlock(run),
            new CautionBlock(
                CautionKind.Warn,
                "Caution",
                "Leave the covers closed. Keep hair, sleeves and fingers off turning reels and the capstan."
            ),
        ];
    }

    private static IEnumerable<string> Tone(Offer machine) =>
        [
            "At home, put a steady 3150 Hz tone on your phone, or on a tape from a machine whose speed you know.",
            machine.Features.HasOffTape
                ? "At the seller's record the phone's tone for a minute, monitor on tape, and record what the machine plays with the phone."
                : "At the seller's play the tape with the tone for a minute and record it with the phone, still, near the loudspeaker or by a cable.",
            "Save it as WAV, without noise suppression, 48 kHz.",
            "At home let the program read it: how fast the machine runs, and how much it wavers. A tone that the machine recorded itself says nothing of its speed.",
        ];

    private static IEnumerable<Block> Mains(Offer machine, KitRequest? request)
    {
        if (request is null)
            yield break;
        var mains = MainsVerdict.Of(machine, request.MainsVolts, request.MainsHertz);
        if (mains.Refusal is { } refusal)
            yield return new CautionBlock(CautionKind.Bad, "Not for you", $"{char.ToUpperInvariant(refusal[0])}{refusal[1..]}.");
        foreach (var caution in mains.Cautions)
            yield return new CautionBlock(CautionKind.Warn, "Caution", caution);
    }

    private static IReadOnlyList<(string Name, string Value)> Facts(Offer machine)
    {
        var features = machine.Features;
        List<(string, string)> facts =
        [
            (
                "Mains",
                machine.MainsVolts.Count == 0
                    ? "not told"
                    : string.Join(" or ", machine.MainsVolts.Select(v => v.From == v.To ? $"{v.From:0} V" : $"{v.From:0} to {v.To:0} V"))
                        + (
                            machine.MainsHertz.Count == 0
                                ? ", hertz not told"
                                : $", {string.Join(" or ", machine.MainsHertz.Select(h => $"{h:0}"))} Hz"
                        )
            ),
            (
                "Tape",
                $"{features.Format}{(features.TapeTypes.Count > 0 ? $", type {string.Join(" or ", features.TapeTypes)}" : ", type not told")}"
            ),
            ("To ask", "serviced when, by whom? belts? what was it last used for?"),
        ];
        if (machine.Notes.Length > 0)
            facts.Insert(0, ("Notes", machine.Notes));
        return facts;
    }
}
