namespace Offtape.Studio;

/// <summary>
/// Files to begin with: a table of offers, a request, a rig. All that is in them is invented: there are no such offers, and the prices say nothing.
/// </summary>
public static class KitTemplates
{
    /// <summary>A table of offers, as a spreadsheet opens it.</summary>
    public static string Offers { get; } =
        string.Concat(
            new IReadOnlyList<object?>[]
            {
                [.. OfferTable.Columns],
                [
                    "Lantern Quay deck A (invented)",
                    "cassette-deck",
                    "off-tape pitch bias=I/II/IV motor=dc",
                    "line-in:rca:2; line-out:rca:2",
                    "220-240",
                    "50",
                    120m,
                    9.5m,
                    "serviced",
                    "three heads",
                    "",
                    "",
                ],
                [
                    "Lantern Quay deck B (invented)",
                    "cassette-deck",
                    "bias=I/II motor=dc",
                    "line-in:rca:2; line-out:rca:2; mic-in:ts:2",
                    "230",
                    "50",
                    45m,
                    9.5m,
                    "working",
                    "",
                    "",
                    "",
                ],
                [
                    "Lantern Quay four-track (invented)",
                    "cassette-multitrack",
                    "pitch tracks=4 speeds=9.5 bias=II motor=dc",
                    "line-in:ts:4:-10; line-out:rca:4",
                    "220-240",
                    "50",
                    160m,
                    12m,
                    "working",
                    "",
                    "",
                    "",
                ],
                [
                    "Lantern Quay reel (invented)",
                    "reel",
                    "off-tape speeds=9.5/19 bias=A motor=synchronous earthed",
                    "tape-din:din5:2",
                    "110-120",
                    "60",
                    90m,
                    35m,
                    "untested",
                    "from abroad",
                    "",
                    "",
                ],
                [
                    "Lantern Quay portable (invented)",
                    "portable",
                    "portable battery bias=I",
                    "mic-in:mini:1:alc:plug-in-power; headphone-out:mini-trs:2",
                    "",
                    "",
                    20m,
                    5m,
                    "working",
                    "",
                    "",
                    "",
                ],
                ["pair of leads (invented)", "part", "", "", "", "", 8.5m, 3m, "new", "", "2ts-2rca", 4],
                ["lead, ring open (invented)", "part", "", "", "", "", 6m, 3m, "new", "", "trs-rca-open", 8],
                ["DIN lead with resistors (invented)", "part", "", "", "", "", 14m, 3m, "new", "", "din5-4rca-pad", 1],
                ["adapter (invented)", "part", "", "", "", "", 2.2m, 2m, "new", "", "rcaf-ts", 10],
                ["line to microphone pad (invented)", "part", "", "", "", "", 9m, 2m, "new", "", "pad40-ts-mini", 1],
                ["C90, type II (invented)", "tape", "format=cassette minutes=90 type=II", "", "", "", 4.5m, 2m, "new", "", "", 10],
                ["C60, type I (invented)", "tape", "format=cassette minutes=60 type=I", "", "", "", 2.5m, 2m, "new", "", "", 10],
            }.Select(CsvWriting.Row)
        );

    /// <summary>A request.</summary>
    public static string Request { get; } =
        """
            {
              "formatVersion": 1,
              "note": "Lantern Quay, an invented example: put in what you have, want and can pay.",
              "interface": { "name": "interface", "sockets": ["line-out:trs:4:+4:active", "line-in:trs:4:+4", "headphone-out:trs:2"], "fullScale": "18dBu" },
              "drawer": { "2ts-2rca": 1, "rcaf-ts": 2 },
              "drawerTapes": [],
              "drawerTransformers": [],
              "mains": { "volts": 230, "hertz": 50 },
              "money": 200,
              "currency": "EUR",
              "channels": 2,
              "tapeMinutes": 60,
              "musts": ["stereo"],
              "wishes": { "off-tape": 3, "pitch": 2, "line-in": 1 },
              "repairs": { "working": 15, "untested": 60 },
              "cleaningPerHour": 0.15
            }

            """;

    /// <summary>A rig.</summary>
    public static string Rig { get; } =
        """
            {
              "formatVersion": 1,
              "note": "Lantern Quay, an invented example: put in your interface, your machines and what lies in the drawer.",
              "interface": {
                "name": "interface",
                "sockets": ["line-out:trs:4:+4:active", "line-in:trs:4:+4", "headphone-out:trs:2"],
                "fullScale": "18dBu",
                "safetyEarth": false
              },
              "machines": [
                { "name": "deck", "sockets": ["line-in:rca:2:-10", "line-out:rca:2:-10"] }
              ],
              "drawer": { "2ts-2rca": 1, "rcaf-ts": 2 },
              "prices": { "2ts-2rca": 8.50, "trs-rca-open": 6.00 },
              "monitoring": []
            }

            """;
}
