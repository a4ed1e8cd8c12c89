using System.Text.Json;
using Offtape.Base;

namespace Offtape.Studio;

/// <summary>
/// A request as it is filled in on a page, kept as the same file that <c>offtape kit find</c> reads. What a page does not show stays as it was.
/// </summary>
public sealed class KitForm
{
    private const string Name = "request.json";
    private readonly RequestText _before;

    private KitForm(RequestText text)
    {
        _before = text;
        Interface = DeviceForm.From(text.Interface, "interface");
        (Money, Currency, MainsVolts, MainsHertz) = (text.Money, text.Currency, text.Mains.Volts, text.Mains.Hertz);
        (Channels, TapeMinutes) = (text.Channels, text.TapeMinutes);
        Musts = string.Join(", ", text.Musts);
        Wishes = string.Join(", ", text.Wishes.Select(w => $"{w.Key}={w.Value}"));
        Drawer = new Dictionary<string, int>(text.Drawer);
    }

    public DeviceForm Interface { get; set; }

    public decimal Money { get; set; }

    public string Currency { get; set; }

    public double MainsVolts { get; set; }

    public double MainsHertz { get; set; }

    public int Channels { get; set; }

    public double TapeMinutes { get; set; }

    /// <summary>With commas between: stereo, tracks:4.</summary>
    public string Musts { get; set; }

    /// <summary>With commas between, each with how much it counts: off-tape=3, pitch=2; 1 where none is said.</summary>
    public string Wishes { get; set; }

    public Dictionary<string, int> Drawer { get; }

    /// <summary>An invented one to begin with.</summary>
    public static KitForm Example => Parse(System.Text.Encoding.UTF8.GetBytes(KitTemplates.Request), Name);

    /// <exception cref="Fault">Input: no such file, or no request.</exception>
    public static KitForm Load(string path) => Parse(StudioJson.Bytes(path), path);

    /// <exception cref="Fault">Input: a wish counts for no number.</exception>
    public string ToJson() => JsonSerializer.Serialize(Text(), StudioJson.Context.RequestText) + "\n";

    /// <summary>What it says, checked.</summary>
    /// <exception cref="Fault">Input: something in it is not understood.</exception>
    public KitRequest ToRequest() => KitRequestFile.Parse(System.Text.Encoding.UTF8.GetBytes(ToJson()), Name);

    private RequestText Text() =>
        _before with
        {
            Interface = Interface.Into(_before.Interface),
            Money = Money,
            Currency = Currency.Trim(),
            Mains = new MainsText(MainsVolts, MainsHertz),
            Channels = Channels,
            TapeMinutes = TapeMinutes,
            Musts = Split(Musts),
            Wishes = Split(Wishes).Select(Wish).GroupBy(w => w.Key).ToDictionary(g => g.Key, g => g.Last().Value),
            Drawer = Drawer,
        };

    private static string[] Split(string text) => text.Split(',', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries);

    private static KeyValuePair<string, int> Wish(string text)
    {
        var at = text.IndexOf('=');
        if (at < 0)
            return new(text, 1);
        return int.TryParse(text[(at + 1)..].Trim(), out var weight)
            ? new(text[..at].Trim(), weight)
            : throw Fault.Input(Name, $"the wish \"{text}\" does not count for a whole number", null, "Write off-tape=3.");
    }

    private static KitForm Parse(byte[] utf8, string path) =>
        new(StudioJson.Read(utf8, path, StudioJson.Context.RequestText, "a kit request"));
}
