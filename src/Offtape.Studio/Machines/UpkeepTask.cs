namespace Offtape.Studio;

/// <summary>Something that is done to a machine from time to time.</summary>
/// <param name="Code">How it is typed.</param>
/// <param name="Words">What is done.</param>
/// <param name="EveryHours">After so many hours of running: common practice, no source. Null: by findings alone.</param>
/// <param name="Cautions">What to mind; each stands where the hand is.</param>
public sealed record UpkeepTask(string Code, string Words, double? EveryHours, IReadOnlyList<string> Cautions)
{
    private const string PlugOut = "Switch the machine off and pull its mains plug.";
    private const string Fingers = "Keep fingers, sleeves, hair and jewellery away from a running capstan and from spooling reels.";

    private const string Licensed =
        "Inside a mains machine parts stay live and capacitors stay charged after the plug is out: leave what is behind the covers to a licensed repair person, and follow your local code.";

    public static IReadOnlyList<UpkeepTask> All { get; } =
    [
        new(
            "clean-path",
            "Clean heads, guides, capstan and pinch roller.",
            10,
            [
                PlugOut,
                "Isopropyl alcohol on heads, guides and the metal of the capstan, with a swab that leaves no threads; on rubber only what its maker says, else water with a drop of washing-up liquid. No acetone, no petrol.",
                "The alcohol burns and its vapour does: no flame, no spark, open a window, and let everything dry before the plug goes in.",
                Fingers,
            ]
        ),
        new(
            "demagnetise",
            "Demagnetise heads, guides and capstan.",
            30,
            [
                PlugOut + " A demagnetiser at a machine that is on can hurt its replay amplifier and loudspeakers.",
                "Carry every tape, card and disk at least a metre away first.",
                "Switch the tool on and off at arm's length; come near slowly, draw away slowly; its tip is covered, so that it does not scratch.",
                "With a pacemaker or another implant leave this to someone else, and stay away while it is done.",
            ]
        ),
        new(
            "azimuth",
            "Look at azimuth and replay level with an alignment tape.",
            100,
            [
                "Clean and demagnetise first: a magnetised head wears the alignment tape out.",
                "Turn the azimuth screw alone, a little at a time, and mark where it stood; a screw that was sealed is a service job.",
                Fingers,
                "Turn headphones and loudspeakers down before the test tones.",
            ]
        ),
        new("rubber", "Look at belts, idlers and the pinch roller: cracks, shine, flat spots.", 250, [PlugOut, Licensed, Fingers]),
        new(
            "speed",
            "Set the speed, and look at what drives it.",
            null,
            ["Where the set screw is reached from outside, turn it with an insulated driver, a little at a time.", Licensed]
        ),
        new(
            "head-wear",
            "Look at the wear of the heads.",
            500,
            [PlugOut, "Look with a lamp and a glass; nothing hard or magnetic comes near a head.", Licensed]
        ),
        new(
            "service",
            "Have it serviced: lubrication, brakes and tensions, capacitors, mains lead and its safety.",
            1000,
            [Licensed, "Never lift or cut a safety earth."]
        ),
        new(
            "hum",
            "Find the hum: leads, earths, what stands near.",
            null,
            ["Never lift a safety earth to get rid of a hum; offtape patch check says what else helps.", PlugOut]
        ),
    ];

    public static UpkeepTask? Find(string code) => All.FirstOrDefault(t => t.Code == code);
}
