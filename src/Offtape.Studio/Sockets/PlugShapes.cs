namespace Offtape.Studio;

/// <summary>
/// The shapes there are, and which plug goes into which socket. Round plugs go by the angles of their pins, so that a three-pin plug finds
/// its holes in a five-pin socket of the same circle, and a 240° plug does not go into a 180° socket.
/// </summary>
public static class PlugShapes
{
    private const string JackSource = "contacts by IEC 60603-11 (from memory): tip, ring, sleeve";
    private const string DinSource =
        "IEC 60130-9 and DIN 41524 by a secondary source: round the arc the pins are numbered 1, 4, 2, 5, 3; pin 2 stands opposite the key";

    public static PlugShape JackMono { get; } = new("jack-6.35-ts", "6.35 mm mono jack", ["tip", "sleeve"], JackSource);

    public static PlugShape JackStereo { get; } = new("jack-6.35-trs", "6.35 mm three-pole jack", ["tip", "ring", "sleeve"], JackSource);

    public static PlugShape MiniMono { get; } = new("jack-3.5-ts", "3.5 mm mono jack", ["tip", "sleeve"], JackSource);

    public static PlugShape MiniStereo { get; } = new("jack-3.5-trs", "3.5 mm three-pole jack", ["tip", "ring", "sleeve"], JackSource);

    public static PlugShape Rca { get; } =
        new("rca", "RCA (phono)", ["tip", "sleeve"], "IEC 60603-14 (from memory): the centre carries the signal, the shell is the return");

    public static PlugShape Xlr { get; } =
        new(
            "xlr-3",
            "three-pin XLR",
            ["1", "2", "3"],
            "pin 1 shield, 2 hot, 3 cold: AES14 as Rane Note 151 tells it; an output has pins, an input holes"
        );

    public static PlugShape Din3 { get; } = Din("din-3-180", "three-pin DIN", ["1", "2", "3"], 90, DinSource);

    public static PlugShape Din5 { get; } = Din("din-5-180", "five-pin DIN, 180°", ["1", "4", "2", "5", "3"], 45, DinSource);

    public static PlugShape Din5Wide { get; } =
        Din("din-5-240", "five-pin DIN, 240°", ["1", "4", "2", "5", "3"], 60, "DIN 45322 (from memory): five pins, 60° apart");

    public static PlugShape Din5Widest { get; } =
        Din("din-5-270", "five-pin DIN, 270°", ["1", "4", "2", "5", "3"], 67.5, "sold as 270° (from memory): five pins over 270°");

    public static PlugShape BindingPost { get; } =
        new("binding-post", "pair of binding posts", ["+", "-"], "common practice, no source: red is +, black is −");

    public static PlugShape SpeakerTerminal { get; } =
        new("speaker-terminal", "pair of loudspeaker terminals", ["+", "-"], "common practice, no source: red is +, black is −");

    public static PlugShape BareWire { get; } = new("bare-wire", "bare wire", ["+", "-"], "common practice, no source");

    public static IReadOnlyList<PlugShape> All { get; } =
    [JackMono, JackStereo, MiniMono, MiniStereo, Rca, Xlr, Din3, Din5, Din5Wide, Din5Widest, BindingPost, SpeakerTerminal, BareWire];

    private static readonly IReadOnlyList<(int Plug, int Socket)>[][] _touching =
    [
        .. All.Select(plug => All.Select(socket => Match(plug, socket)).ToArray()),
    ];

    /// <summary>The place of a shape among <see cref="All"/>.</summary>
    public static int NumberOf(PlugShape shape)
    {
        for (var i = 0; i < All.Count; i++)
            if (ReferenceEquals(All[i], shape))
                return i;
        throw new ArgumentException($"{shape.Id} is not among the shapes.");
    }

    /// <summary>The shape of that id, or of a short name people use (<c>trs</c>, <c>din5</c>); null when there is none.</summary>
    public static PlugShape? Find(string name)
    {
        var plain = name.Trim().ToLowerInvariant();
        plain = plain switch
        {
            "ts" or "jack" => "jack-6.35-ts",
            "trs" => "jack-6.35-trs",
            "mini" or "mini-ts" => "jack-3.5-ts",
            "mini-trs" => "jack-3.5-trs",
            "phono" => "rca",
            "xlr" => "xlr-3",
            "din3" => "din-3-180",
            "din5" or "din" => "din-5-180",
            "posts" => "binding-post",
            "speaker" => "speaker-terminal",
            "wire" => "bare-wire",
            _ => plain,
        };
        return All.FirstOrDefault(s => s.Id == plain);
    }

    /// <summary>Whether the plug goes into the socket at all, right or wrong for what is on it.</summary>
    public static bool Fits(PlugShape plug, PlugShape socket) => Touching(plug, socket).Count > 0;

    /// <summary>Which contact of the plug touches which of the socket; none where it does not go in.</summary>
    public static IReadOnlyList<(int Plug, int Socket)> Touching(PlugShape plug, PlugShape socket) =>
        _touching[NumberOf(plug)][NumberOf(socket)];

    private static IReadOnlyList<(int Plug, int Socket)> Match(PlugShape plug, PlugShape socket)
    {
        if (plug.ContactDegrees.Count > 0 || socket.ContactDegrees.Count > 0)
            return ByAngle(plug, socket);
        if (plug == socket)
            return [.. plug.Contacts.Select((_, i) => (i, i))];
        // A long sleeve lies where the ring would: it touches the ring's contact as well.
        if (IsMonoOf(plug, socket))
            return [(0, 0), (1, 2), (1, 1)];
        // The ring of a three-pole plug lies at the sleeve of a two-pole socket.
        if (IsMonoOf(socket, plug))
            return [(0, 0), (2, 1), (1, 1)];
        if (plug == BareWire && (socket == BindingPost || socket == SpeakerTerminal))
            return [(0, 0), (1, 1)];
        return [];
    }

    private static bool IsMonoOf(PlugShape mono, PlugShape stereo) =>
        mono == JackMono && stereo == JackStereo || mono == MiniMono && stereo == MiniStereo;

    // Every pin has to find a hole.
    private static IReadOnlyList<(int Plug, int Socket)> ByAngle(PlugShape plug, PlugShape socket)
    {
        const double sameHoleDegrees = 1;
        var pairs = new List<(int, int)>();
        for (var pin = 0; pin < plug.ContactDegrees.Count; pin++)
        {
            var hole = Enumerable
                .Range(0, socket.ContactDegrees.Count)
                .Where(h => Math.Abs(socket.ContactDegrees[h] - plug.ContactDegrees[pin]) < sameHoleDegrees)
                .DefaultIfEmpty(-1)
                .First();
            if (hole < 0)
                return [];
            pairs.Add((pin, hole));
        }
        return pairs;
    }

    private static PlugShape Din(string id, string words, string[] roundTheArc, double degreesApart, string source) =>
        new(id, words, roundTheArc, source)
        {
            ContactDegrees = [.. roundTheArc.Select((_, i) => (i - (roundTheArc.Length - 1) / 2.0) * degreesApart)],
        };
}
