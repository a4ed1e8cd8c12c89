namespace Offtape.Testing;

/// <summary>Which recordings there are: package, place, licence. The licences are in docs/test-recordings.md; no audio is in the repository.</summary>
internal static class RecordingTable
{
    private const string Drumkits = "/usr/share/hydrogen/data/drumkits";
    private const string Samples = "/usr/share/sonic-pi/samples";
    private const string Patches = "/usr/share/midi/freepats/Tone_000";
    private const string Spoken = "/usr/share/sounds/alsa";
    private const string AllLayers = "Softest Soft Med Hard Hardest";
    private const string PatchLicence = "GPL-2+ with composition exception";

    /// <summary>The recordings that stand for a user's sounds.</summary>
    public static IReadOnlyList<Recording> Known { get; } =
    [
        // Where layers of a kit are one recording at several gains, one of them is here.
        .. Kit(
            "black-pearl",
            "The Black Pearl 1.0",
            "GPL-2",
            ".wav",
            "PearlKick-Soft PearlKick-Hard Cowbell-Med PearlTom1-Softest PearlTom1-Soft PearlTom1-Med PearlTom1-Hard",
            Layers("PearlSnare PearlSnareRimshot PearlSideStick PearlTom2 PearlTomFloor", "-", AllLayers),
            Layers("SabianHatClosed SabianHatSemiOpen SabianHatOpen SabianCrash PaisteRide PaisteBell", "-", AllLayers)
        ),
        .. Kit(
            "forzee",
            "ForzeeStereo",
            "GPL-2",
            ".wav",
            Layers("Kick Snare SnareOff SnareRim TomHigh TomMid TomLow HiHatClosed", "-", "1 2 3 4"),
            Layers("HiHatOpen Crash18 Tambourine", "-", "1 2 3"),
            "Ride-1 Ride-2"
        ),
        .. Kit(
            "pacific",
            "BJA_Pacific",
            "CC-BY-SA-3.0-US",
            ".aiff",
            Layers("BD TM TM2 HH", "_0", "2 4 6 8"),
            "SN_04 SN_06 SN_08",
            Layers("RD CB BL", "_0", "1 3")
        ),
        .. Kit("millo", "Millo_MultiLayered3", "GPL-2", ".flac", Layers("bd sd t1 t2 ft hh ho rc rs", "_0", "1 2 3")),
        .. Free(
            "stage-kit",
            RecordingKind.Drum,
            Layers("drum_bass drum_snare drum_tom_lo drum_tom_mid drum_tom_hi drum_cymbal drum_splash", "_", "soft hard")
        ),
        .. Free(
            "tabla",
            RecordingKind.Drum,
            "tabla_ghe1 tabla_ghe2 tabla_ghe5 tabla_ghe6 tabla_ke1 tabla_na_o tabla_te1 tabla_tun1 tabla_tun2"
        ),
        .. Notes("nylon-guitar", RecordingKind.Plucked, "024_Nylon_Guitar", 8),
        .. Notes("steel-guitar", RecordingKind.Plucked, "025_Steel_Guitar", 10),
        .. Notes("jazz-guitar", RecordingKind.Plucked, "026_Jazz_Guitar", 13),
        .. Notes("harp", RecordingKind.Plucked, "046_Harp", 14),
        .. Notes("piano", RecordingKind.Plucked, "001_Acoustic_Brite_Piano", 12),
        .. Notes("xylophone", RecordingKind.Plucked, "013_Xylophone", 4),
        .. Free("guitar", RecordingKind.Plucked, "guit_em9 guit_e_fifths guit_e_slide guit_harmonics perc_bell"),
        .. Notes("church-organ", RecordingKind.Sustained, "019_Church_Organ", 11),
        .. Notes("french-horn", RecordingKind.Sustained, "060_French_Horn", 11),
        .. Notes("trumpet", RecordingKind.Sustained, "056_Trumpet", 5),
        .. Notes("flute", RecordingKind.Sustained, "073_Flute", 3),
        .. Free("drones", RecordingKind.Sustained, "ambi_glass_hum ambi_glass_rub ambi_drone ambi_haunted_hum ambi_lunar_land ambi_piano"),
        .. Free("bass", RecordingKind.Bass, "bass_thick_c bass_trance_c bass_woodsy_c bass_drop_c bass_hard_c bass_dnb_f bass_hit_c"),
        .. Notes("finger-bass", RecordingKind.Bass, "033_Finger_Bass", 4),
        .. Notes("tuba", RecordingKind.Bass, "058_Tuba", 5),
        .. Files(
            "spoken",
            RecordingKind.VoiceLike,
            "alsa-utils",
            Spoken,
            "GPL-2",
            ".wav",
            "Front_Center Front_Left Front_Right Rear_Center Rear_Left Rear_Right Side_Left Side_Right"
        ),
        .. Notes("sung", RecordingKind.VoiceLike, "053_Voice_Oohs", 4),
        .. Free("choir", RecordingKind.VoiceLike, "ambi_choir bass_voxy_c bass_voxy_hit_c"),
    ];

    /// <summary>Recordings that stand for something else on the tape: none of their kits is among the known ones.</summary>
    public static IReadOnlyList<Recording> Strangers { get; } =
    [
        .. Kit(
            "hands",
            "Gimme A Hand 1.0",
            "GPL-2",
            ".wav",
            Layers("BongoHi BongoLo CajonSlaps CajonThumps WaterglassLo", "-", "Soft Hard"),
            "Clave-Hard HandClap-Hard Tambourine-Hard"
        ),
        .. Kit(
            "colombo",
            "ColomboAcousticDrumkit",
            PatchLicence,
            ".flac",
            "bassdrum-4mics-br-stereo-normal3 bassdrum-4mics-br-stereo-soft2 crash16i__crash1 crash20i__ride4 hihat-closed-1 hihat-open-4",
            "snare-opaque-normal-mic-normal_shot2 snare-opaque-normal-mic-rimshot6 tom-hi-1 tom-low-1 tom-mid-1"
        ),
        .. Kit(
            "africa",
            "circAfrique v4",
            "CC-BY-SA-3.0",
            ".wav",
            Layers("Djembe1 Djembe2 Djembe3 Djembe4 Djembe5", "\u00A0", "Bass Slap Tone")
        ),
        .. Notes("dulcimer", RecordingKind.Plucked, "015_Dulcimer", 7),
        .. Notes("pizzicato", RecordingKind.Plucked, "045_Pizzicato_Strings", 9),
        .. Notes("harpsichord", RecordingKind.Plucked, "006_Harpsichord", 3),
        .. Notes("violin", RecordingKind.Sustained, "040_Violin", 8),
        .. Notes("strings", RecordingKind.Sustained, "048_String_Ensemble_1_Marcato", 5),
        .. Notes("slapped-bass", RecordingKind.Bass, "037_Slap_Bass_2", 3),
        .. Notes("bassoon", RecordingKind.Bass, "070_Bassoon", 3),
        .. Free("field", RecordingKind.VoiceLike, "misc_crow misc_burp perc_till perc_door loop_safari loop_tabla ambi_sauna vinyl_rewind"),
    ];

    public static IReadOnlyList<NearTwins> Twins { get; } =
    [
        .. Pairs("black-pearl", "PearlSnare PearlSnareRimshot PearlSideStick PearlTom1 PearlTom2 PearlTomFloor", "-", "Soft", "Hard"),
        .. Pairs("black-pearl", "SabianHatClosed SabianHatSemiOpen SabianHatOpen SabianCrash PaisteRide PaisteBell", "-", "Soft", "Hard"),
        .. Pairs("black-pearl", "PearlSnare PearlSnareRimshot PearlSideStick PearlTom2 PearlTomFloor", "-", "Med", "Hardest"),
        .. Pairs("forzee", "Kick Snare SnareOff SnareRim TomHigh TomMid TomLow HiHatClosed", "-", "1", "3"),
        .. Pairs("forzee", "Kick Snare SnareOff SnareRim TomHigh TomMid TomLow HiHatClosed", "-", "2", "4"),
        .. Pairs("pacific", "BD SN TM TM2 HH", "_0", "4", "6"),
        .. Pairs("pacific", "BD SN TM TM2 HH", "_0", "6", "8"),
        .. Pairs("millo", "bd sd t1 t2 ft hh ho rc rs", "_0", "2", "3"),
        .. Pairs("stage-kit", "drum_bass drum_snare drum_tom_lo drum_tom_mid drum_tom_hi drum_cymbal drum_splash", "_", "soft", "hard"),
        // One pitch on two guitars: D3 and G3.
        new("nylon-guitar.2", "steel-guitar.2"),
        new("nylon-guitar.3", "steel-guitar.3"),
        new("jazz-guitar.2", "nylon-guitar.2"),
        new("jazz-guitar.4", "steel-guitar.3"),
    ];

    private static string Layers(string drums, string separator, string layers) =>
        string.Join(' ', drums.Split(' ').SelectMany(d => layers.Split(' ').Select(l => d + separator + l)));

    private static IEnumerable<NearTwins> Pairs(string kit, string drums, string separator, string first, string second) =>
        drums.Split(' ').Select(d => new NearTwins($"{kit}.{d}{separator}{first}", $"{kit}.{d}{separator}{second}"));

    private static IEnumerable<Recording> Kit(string kit, string folder, string licence, string ending, params string[] names) =>
        Files(kit, RecordingKind.Drum, "hydrogen-drumkits", $"{Drumkits}/{folder}", licence, ending, names);

    private static IEnumerable<Recording> Free(string kit, RecordingKind kind, params string[] names) =>
        Files(kit, kind, "sonic-pi-samples", Samples, "CC0", ".flac", names);

    // Names are parted by spaces; a name that holds one has a no-break space there.
    private static IEnumerable<Recording> Files(
        string kit,
        RecordingKind kind,
        string package,
        string folder,
        string licence,
        string ending,
        params string[] names
    ) =>
        names
            .SelectMany(n => n.Split(' '))
            .Select(n => n.Replace('\u00A0', ' '))
            .Select(n => new Recording($"{kit}.{n}", kind, kit, package, $"{folder}/{n}{ending}", licence));

    private static IEnumerable<Recording> Notes(string kit, RecordingKind kind, string patch, int count) =>
        Enumerable
            .Range(0, count)
            .Select(i => new Recording($"{kit}.{i}", kind, kit, "freepats", $"{Patches}/{patch}.pat", PatchLicence, i));
}
