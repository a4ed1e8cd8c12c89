using Offtape.Base;

namespace Offtape.Studio;

/// <summary>Reads what somebody has, wants and can pay. docs/kit-and-patch.md describes the file.</summary>
public static class KitRequestFile
{
    private const string Kind = "a kit request";
    private const int MostChannels = 24;
    private const int HeaviestWish = 1_000;

    private static readonly string[] _repairs =
    [
        "new",
        "serviced",
        "working",
        "untested",
        "faulty",
        "cassette-deck",
        "cassette-multitrack",
        "reel",
        "portable",
    ];

    /// <exception cref="Fault">Input: no such file, not a request, or something in it is not understood.</exception>
    public static KitRequest Read(string path) => Parse(StudioJson.Bytes(path), path);

    /// <inheritdoc cref="Read"/>
    /// <param name="utf8">The file's bytes.</param>
    /// <param name="path">Its name, for faults.</param>
    public static KitRequest Parse(byte[] utf8, string path)
    {
        var text = StudioJson.Read(utf8, path, StudioJson.Context.RequestText, Kind);
        StudioJson.CheckVersion(text.FormatVersion, path, Kind);
        try
        {
            return Request(text);
        }
        catch (FormatException error)
        {
            throw Fault.Input(path, error.Message, null, "docs/kit-and-patch.md describes a kit request.", error);
        }
    }

    private static KitRequest Request(RequestText text)
    {
        var parts = RigFile.PartsWith(text.Parts);
        RigFile.Known(parts, text.Drawer.Keys, "drawer");
        Check(text.Drawer.Values.All(n => n >= 0), "the drawer holds less than nothing of something");
        Check(text.Money >= 0, "money is below zero");
        Check(text.Mains.Volts is >= 90 and <= 260, "mains volts lie between 90 and 260");
        Check(text.Mains.Hertz is 50 or 60, "mains hertz are 50 or 60");
        Check(text.Channels is >= 1 and <= MostChannels, $"channels are a number from 1 to {MostChannels}");
        Check(text.TapeMinutes is >= 0 and <= 10_000, "tapeMinutes lie between 0 and 10000");
        Check(text.Wishes.Values.All(w => w is >= 1 and <= HeaviestWish), $"a wish counts from 1 to {HeaviestWish}");
        if (text.Repairs.Keys.FirstOrDefault(k => !_repairs.Contains(k)) is { } unknown)
            throw new FormatException($"repairs names \"{unknown}\"; it is by condition or kind: {string.Join(", ", _repairs)}");
        Check(text.Repairs.Values.All(r => r >= 0), "a figure for repairs is below zero");
        return new KitRequest
        {
            Interface = DeviceTexts.Device(text.Interface, "interface"),
            Drawer = text.Drawer,
            DrawerTapes = [.. text.DrawerTapes.Select(Tape)],
            DrawerTransformers = [.. text.DrawerTransformers.Select(Transformer)],
            Parts = parts,
            Money = text.Money,
            Currency = text.Currency,
            MainsVolts = text.Mains.Volts,
            MainsHertz = text.Mains.Hertz,
            Channels = text.Channels,
            TapeMinutes = text.TapeMinutes,
            Musts = [.. text.Musts.Select(Want.Parse)],
            Wishes = [.. text.Wishes.Select(w => (Want.Parse(w.Key), w.Value))],
            Repairs = text.Repairs,
            CleaningPerHour = text.CleaningPerHour is < 0
                ? throw new FormatException("cleaningPerHour is below zero")
                : text.CleaningPerHour,
        };
    }

    private static void Check(bool isFine, string what)
    {
        if (!isFine)
            throw new FormatException(what);
    }

    private static OfferFeatures Tape(string text)
    {
        var tape = FeatureWords.Parse(text);
        return tape.Format is null || tape.LengthMetres is null
            ? throw new FormatException($"\"{text}\" is no tape: write format=cassette minutes=90 type=I")
            : tape;
    }

    private static (double From, double To) Transformer(string text)
    {
        var volts = MainsWords.Volts(text);
        return volts.Count == 2
            ? (volts[0].From, volts[1].From)
            : throw new FormatException($"\"{text}\" is no mains transformer: write 230/115");
    }
}
