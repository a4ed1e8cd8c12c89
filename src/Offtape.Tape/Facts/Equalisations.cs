namespace Offtape.Tape;

/// <summary>
/// The characteristics a tape may have. Reels after the table of IASA-TC 04 (Guidelines on the Production and Preservation of Digital Audio
/// Objects), section 5.4.10; cassettes after IEC 60094-1 as JIS S 8604 gives it (table 1).
/// </summary>
public static class Equalisations
{
    private const string Iasa = "IASA-TC 04, 5.4.10";
    private const string Cassette = "IEC 60094-1; JIS S 8604, table 1";
    private const double None = double.PositiveInfinity;

    public static Equalisation CassetteTypeOne { get; } = new("Type I", "cassette", 4.7625, 120, 3180, true, Cassette);

    public static Equalisation CassetteTypeTwo { get; } = new("Type II", "cassette", 4.7625, 70, 3180, true, Cassette);

    public static Equalisation CassetteMetal { get; } = new("Type IV (metal)", "cassette", 4.7625, 70, 3180, true, Cassette);

    public static Equalisation Nab38 { get; } = Reel("NAB (IEC2)", 38.1, 50, 3180, true);

    public static Equalisation Iec38 { get; } = Reel("IEC1 (CCIR)", 38.1, 35, None, true);

    public static Equalisation Nab19 { get; } = Reel("NAB (IEC2, DIN home)", 19.05, 50, 3180, true);

    public static Equalisation Iec19 { get; } = Reel("IEC1 (CCIR, DIN studio)", 19.05, 70, None, true);

    public static Equalisation Aes76 { get; } = Reel("AES (IEC2)", 76.2, 17.5, None, true);

    public static Equalisation Nab9 { get; } = Reel("NAB (IEC2)", 9.525, 90, 3180, true);

    /// <summary>All of them: cassettes first, then reels from slow to fast, current ones before old ones.</summary>
    public static IReadOnlyList<Equalisation> All { get; } =
    [
        CassetteTypeOne,
        CassetteTypeTwo,
        CassetteMetal,
        // The bass constant of the slow reel speed is from memory; the old DIN had 1590.
        new("IEC, DIN", "reel 4.76 cm/s", 4.7625, 120, 3180, true, "from memory, not verified"),
        Nab9,
        Reel("DIN 1962", 9.525, 120, 3180, false),
        Reel("IEC 1962 to 1968", 9.525, 140, 3180, false),
        Reel("DIN 1955 to 1961", 9.525, 200, None, false),
        Nab19,
        Iec19,
        Reel("CCIR, IEC, DIN to 1968", 19.05, 100, None, false),
        Nab38,
        Iec38,
        Aes76,
        Reel("CCIR, IEC1, DIN 1953 to 1968", 76.2, 35, None, false),
    ];

    private static Equalisation Reel(string name, double cmPerSecond, double treble, double bass, bool isCurrent) =>
        new(name, $"reel {cmPerSecond:0.##} cm/s", cmPerSecond, treble, bass, isCurrent, Iasa);
}
