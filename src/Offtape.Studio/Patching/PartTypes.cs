namespace Offtape.Studio;

/// <summary>
/// The usual cables, adapters, attenuators and transformers. Wiring of leads between balanced and unbalanced sockets after Rane Note 110;
/// DIN leads pin for pin (IEC 60130-9 by a secondary source); the rest is common practice, no source.
/// </summary>
public static class PartTypes
{
    // Wires of a plain two-ended part with the same poles at both ends.
    private const string Mono = "0.tip=1.tip 0.sleeve=1.sleeve";
    private const string ThreePole = "0.tip=1.tip 0.ring=1.ring 0.sleeve=1.sleeve";
    private const string Cannon = "0.1=1.1 0.2=1.2 0.3=1.3";
    private const string MonoPair = "0.tip=2.tip 0.sleeve=2.sleeve 1.tip=3.tip 1.sleeve=3.sleeve";
    private const string StereoToTwo = "0.tip=1.tip 0.ring=2.tip 0.sleeve=1.sleeve 0.sleeve=2.sleeve";
    private const string PadMono = "0.tip~1.tip 0.sleeve=1.sleeve";
    private const string DinFive = "0.1=1.1 0.2=1.2 0.3=1.3 0.4=1.4 0.5=1.5";

    public static IReadOnlyList<PartType> All { get; } = [.. Cables(), .. DinLeads(), .. Adapters(), .. Attenuators(), .. Transformers()];

    public static PartType? Find(string id) => All.FirstOrDefault(p => p.Id == id);

    private static IEnumerable<PartType> Cables() =>
        [
            Part("ts-ts", "6.35 mm mono cable", PartKind.Cable, ["ts plug", "ts plug"], Mono),
            Part("trs-trs", "6.35 mm three-pole cable", PartKind.Cable, ["trs plug", "trs plug"], ThreePole),
            Part("ts-rca", "6.35 mm mono to RCA cable", PartKind.Cable, ["ts plug", "rca plug"], Mono),
            Part("rca-rca", "RCA cable", PartKind.Cable, ["rca plug", "rca plug"], Mono),
            Part("2ts-2ts", "pair of 6.35 mm mono cables", PartKind.Cable, Pair("ts plug", "ts plug"), MonoPair),
            Part("2ts-2rca", "6.35 mm mono to RCA, pair", PartKind.Cable, Pair("ts plug", "rca plug"), MonoPair),
            Part("2rca-2rca", "RCA cable, pair", PartKind.Cable, Pair("rca plug", "rca plug"), MonoPair),
            Part("xlr-xlr", "XLR cable", PartKind.Cable, ["xlr socket", "xlr plug"], Cannon),
            Part(
                "trs-xlrm",
                "6.35 mm three-pole to XLR plug",
                PartKind.Cable,
                ["trs plug", "xlr plug"],
                "0.tip=1.2 0.ring=1.3 0.sleeve=1.1"
            ),
            Part(
                "xlrf-trs",
                "XLR socket to 6.35 mm three-pole",
                PartKind.Cable,
                ["xlr socket", "trs plug"],
                "0.2=1.tip 0.3=1.ring 0.1=1.sleeve"
            ),
            Part(
                "rca-xlrm",
                "RCA to XLR plug, cold to ground",
                PartKind.Cable,
                ["rca plug", "xlr plug"],
                "0.tip=1.2 0.sleeve=1.3 0.sleeve=1.1"
            ),
            Part(
                "ts-xlrm",
                "6.35 mm mono to XLR plug, cold to ground",
                PartKind.Cable,
                ["ts plug", "xlr plug"],
                "0.tip=1.2 0.sleeve=1.3 0.sleeve=1.1"
            ),
            Part(
                "rca-trs",
                "RCA to 6.35 mm three-pole, cold to ground",
                PartKind.Cable,
                ["rca plug", "trs plug"],
                "0.tip=1.tip 0.sleeve=1.ring 0.sleeve=1.sleeve"
            ),
            Part(
                "xlrf-rca-open",
                "XLR socket to RCA, cold left open",
                PartKind.Cable,
                ["xlr socket", "rca plug"],
                "0.2=1.tip 0.1=1.sleeve"
            ),
            Part(
                "xlrf-rca-tied",
                "XLR socket to RCA, cold to ground",
                PartKind.Cable,
                ["xlr socket", "rca plug"],
                "0.2=1.tip 0.3=1.sleeve 0.1=1.sleeve"
            ),
            Part("trs-rca-open", "6.35 mm three-pole to RCA, ring left open", PartKind.Cable, ["trs plug", "rca plug"], Mono),
            Part("mini-mini", "3.5 mm mono cable", PartKind.Cable, ["mini plug", "mini plug"], Mono),
            Part("mini-trs-mini-trs", "3.5 mm three-pole cable", PartKind.Cable, ["mini-trs plug", "mini-trs plug"], ThreePole),
            Part("mini-rca", "3.5 mm mono to RCA cable", PartKind.Cable, ["mini plug", "rca plug"], Mono),
            Part("mini-ts", "3.5 mm mono to 6.35 mm mono cable", PartKind.Cable, ["mini plug", "ts plug"], Mono),
            Part(
                "mini-trs-2rca",
                "3.5 mm stereo to two RCA",
                PartKind.Cable,
                ["mini-trs plug", "rca plug/left", "rca plug/right"],
                StereoToTwo
            ),
            Part(
                "mini-trs-2ts",
                "3.5 mm stereo to two 6.35 mm mono",
                PartKind.Cable,
                ["mini-trs plug", "ts plug/left", "ts plug/right"],
                StereoToTwo
            ),
            Part(
                "trs-2ts",
                "6.35 mm stereo to two 6.35 mm mono",
                PartKind.Cable,
                ["trs plug", "ts plug/left", "ts plug/right"],
                StereoToTwo
            ),
            Part("trs-2rca", "6.35 mm stereo to two RCA", PartKind.Cable, ["trs plug", "rca plug/left", "rca plug/right"], StereoToTwo),
            Part("wire-wire", "loudspeaker wire", PartKind.Cable, ["wire plug", "wire plug"], "0.+=1.+ 0.-=1.-"),
            Part("wire-ts", "bare wire to 6.35 mm mono", PartKind.Cable, ["wire plug", "ts plug"], "0.+=1.tip 0.-=1.sleeve"),
            Part("wire-rca", "bare wire to RCA", PartKind.Cable, ["wire plug", "rca plug"], "0.+=1.tip 0.-=1.sleeve"),
        ];

    private static IEnumerable<PartType> DinLeads()
    {
        string[] breakout = ["din5 plug", "rca plug/pin 1", "rca plug/pin 4", "rca plug/pin 3", "rca plug/pin 5"];
        const string Grounds = "0.2=1.sleeve 0.2=2.sleeve 0.2=3.sleeve 0.2=4.sleeve";
        return
        [
            Part("din5-din5", "five-pin DIN lead, pin for pin", PartKind.Cable, ["din5 plug", "din5 plug"], DinFive),
            Part(
                "din5-din5-crossed",
                "five-pin DIN lead, record and replay crossed",
                PartKind.Cable,
                ["din5 plug", "din5 plug"],
                "0.1=1.3 0.3=1.1 0.4=1.5 0.5=1.4 0.2=1.2"
            ),
            Part("din3-din3", "three-pin DIN lead, pin for pin", PartKind.Cable, ["din3 plug", "din3 plug"], "0.1=1.1 0.2=1.2 0.3=1.3"),
            Part("din5-4rca", "five-pin DIN to four RCA", PartKind.Cable, breakout, $"0.1=1.tip 0.4=2.tip 0.3=3.tip 0.5=4.tip {Grounds}"),
            Part(
                "din5-4rca-pad",
                "five-pin DIN to four RCA, 26 dB in the record lines",
                PartKind.Cable,
                breakout,
                $"0.1~1.tip 0.4~2.tip 0.3=3.tip 0.5=4.tip {Grounds}"
            ) with
            {
                AttenuationDb = 26,
            },
            Part(
                "din5-2rca-record",
                "two RCA to five-pin DIN, record",
                PartKind.Cable,
                ["din5 plug", "rca plug/pin 1", "rca plug/pin 4"],
                "0.1=1.tip 0.4=2.tip 0.2=1.sleeve 0.2=2.sleeve"
            ),
            Part(
                "din5-2rca-record-pad",
                "two RCA to five-pin DIN, record, 26 dB",
                PartKind.Cable,
                ["din5 plug", "rca plug/pin 1", "rca plug/pin 4"],
                "0.1~1.tip 0.4~2.tip 0.2=1.sleeve 0.2=2.sleeve"
            ) with
            {
                AttenuationDb = 26,
            },
            Part(
                "din5-2rca-replay",
                "five-pin DIN to two RCA, replay",
                PartKind.Cable,
                ["din5 plug", "rca plug/pin 3", "rca plug/pin 5"],
                "0.3=1.tip 0.5=2.tip 0.2=1.sleeve 0.2=2.sleeve"
            ),
            Part(
                "din3-2rca",
                "three-pin DIN to two RCA, record and replay",
                PartKind.Cable,
                ["din3 plug", "rca plug/pin 1", "rca plug/pin 3"],
                "0.1=1.tip 0.3=2.tip 0.2=1.sleeve 0.2=2.sleeve"
            ),
            Part(
                "din3-2rca-pad",
                "three-pin DIN to two RCA, 26 dB in the record line",
                PartKind.Cable,
                ["din3 plug", "rca plug/pin 1", "rca plug/pin 3"],
                "0.1~1.tip 0.3=2.tip 0.2=1.sleeve 0.2=2.sleeve"
            ) with
            {
                AttenuationDb = 26,
            },
        ];
    }

    private static IEnumerable<PartType> Adapters() =>
        [
            Part("rcaf-ts", "RCA socket to 6.35 mm mono plug", PartKind.Adapter, ["rca socket", "ts plug"], Mono),
            Part("tsf-rca", "6.35 mm mono socket to RCA plug", PartKind.Adapter, ["ts socket", "rca plug"], Mono),
            Part("rcaf-rcaf", "RCA coupler", PartKind.Adapter, ["rca socket", "rca socket"], Mono),
            Part("tsf-tsf", "6.35 mm mono coupler", PartKind.Adapter, ["ts socket", "ts socket"], Mono),
            Part("trsf-trsf", "6.35 mm three-pole coupler", PartKind.Adapter, ["trs socket", "trs socket"], ThreePole),
            Part("mini-trsf-trs", "3.5 mm three-pole socket to 6.35 mm plug", PartKind.Adapter, ["mini-trs socket", "trs plug"], ThreePole),
            Part("trsf-mini-trs", "6.35 mm three-pole socket to 3.5 mm plug", PartKind.Adapter, ["trs socket", "mini-trs plug"], ThreePole),
            Part("tsf-mini", "6.35 mm mono socket to 3.5 mm mono plug", PartKind.Adapter, ["ts socket", "mini plug"], Mono),
            Part("rcaf-mini", "RCA socket to 3.5 mm mono plug", PartKind.Adapter, ["rca socket", "mini plug"], Mono),
            Part(
                "trsf-xlrm",
                "6.35 mm three-pole socket to XLR plug",
                PartKind.Adapter,
                ["trs socket", "xlr plug"],
                "0.tip=1.2 0.ring=1.3 0.sleeve=1.1"
            ),
            Part(
                "xlrf-trsm",
                "XLR socket to 6.35 mm three-pole plug, short",
                PartKind.Adapter,
                ["xlr socket", "trs plug"],
                "0.2=1.tip 0.3=1.ring 0.1=1.sleeve"
            ),
            Part(
                "rcaf-xlrm",
                "RCA socket to XLR plug, cold to ground",
                PartKind.Adapter,
                ["rca socket", "xlr plug"],
                "0.tip=1.2 0.sleeve=1.3 0.sleeve=1.1"
            ),
            Part(
                "din5f-4rcaf",
                "five-pin DIN socket to four RCA sockets",
                PartKind.Adapter,
                ["din5 socket", "rca socket/pin 1", "rca socket/pin 4", "rca socket/pin 3", "rca socket/pin 5"],
                "0.1=1.tip 0.4=2.tip 0.3=3.tip 0.5=4.tip 0.2=1.sleeve 0.2=2.sleeve 0.2=3.sleeve 0.2=4.sleeve"
            ),
            Part(
                "rca-2rcaf",
                "RCA plug to two RCA sockets",
                PartKind.Adapter,
                ["rca plug", "rca socket/a", "rca socket/b"],
                "0.tip=1.tip 0.tip=2.tip 0.sleeve=1.sleeve 0.sleeve=2.sleeve"
            ),
        ];

    private static IEnumerable<PartType> Attenuators() =>
        [
            Part("pad10-rca", "10 dB attenuator, RCA", PartKind.Attenuator, ["rca socket", "rca plug"], PadMono) with
            {
                AttenuationDb = 10,
            },
            Part("pad20-rca", "20 dB attenuator, RCA", PartKind.Attenuator, ["rca socket", "rca plug"], PadMono) with
            {
                AttenuationDb = 20,
            },
            Part("pad20-ts", "20 dB attenuator, 6.35 mm mono", PartKind.Attenuator, ["ts socket", "ts plug"], PadMono) with
            {
                AttenuationDb = 20,
            },
            Part("pad20-xlr", "20 dB attenuator, XLR", PartKind.Attenuator, ["xlr socket", "xlr plug"], "0.1=1.1 0.2~1.2 0.3~1.3") with
            {
                AttenuationDb = 20,
            },
            Part(
                "pad40-xlr",
                "40 dB attenuator, XLR, with capacitors",
                PartKind.Attenuator,
                ["xlr socket", "xlr plug"],
                "0.1=1.1 0.2~1.2 0.3~1.3"
            ) with
            {
                AttenuationDb = 40,
                BlocksDc = true,
            },
            Part(
                "pad40-rca-mini",
                "line to microphone attenuator, 40 dB, RCA to 3.5 mm, with a capacitor",
                PartKind.Attenuator,
                ["rca socket", "mini plug"],
                PadMono
            ) with
            {
                AttenuationDb = 40,
                BlocksDc = true,
            },
            Part(
                "pad40-ts-mini",
                "line to microphone attenuator, 40 dB, 6.35 mm to 3.5 mm, with a capacitor",
                PartKind.Attenuator,
                ["ts socket", "mini plug"],
                PadMono
            ) with
            {
                AttenuationDb = 40,
                BlocksDc = true,
            },
        ];

    private static IEnumerable<PartType> Transformers() =>
        [
            Transformer("iso-rca", "isolating transformer, RCA", ["rca socket", "rca plug"], "0.tip=1.tip"),
            Transformer("iso-trs", "isolating transformer, 6.35 mm three-pole", ["trs socket", "trs plug"], "0.tip=1.tip 0.ring=1.ring"),
            Transformer("iso-xlr", "isolating transformer, XLR", ["xlr socket", "xlr plug"], "0.2=1.2 0.3=1.3"),
            Transformer("speaker-line-rca", "loudspeaker to line transformer, RCA", ["wire plug", "rca socket"], "0.+~1.tip") with
            {
                AttenuationDb = 30,
                TakesSpeakerLevel = true,
            },
        ];

    private static PartType Transformer(string id, string words, string[] ends, string wires) =>
        Part(id, words, PartKind.Transformer, ends, wires) with
        {
            Isolates = true,
            BlocksDc = true,
        };

    private static string[] Pair(string left, string right) => [$"{left}/left", $"{left}/right", $"{right}/left", $"{right}/right"];

    private static PartType Part(string id, string words, PartKind kind, string[] ends, string wires) =>
        PartNotation.Parse(id, words, kind, ends, wires.Split(' '));
}
