using System.Globalization;
using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>
/// Features as they are written in a table: words with spaces between, some with a value: <c>off-tape pitch tracks=2 speeds=9.5/19
/// bias=I/II motor=dc</c>; of a tape <c>format=cassette minutes=90 type=II</c>.
/// </summary>
public static class FeatureWords
{
    /// <summary>The words there are.</summary>
    public static IReadOnlyList<string> All { get; } =
    [
        "off-tape",
        "pitch",
        "portable",
        "battery",
        "live-chassis",
        "earthed",
        "worn-lead",
        "sticky",
        "mould",
        "tracks=",
        "speeds=",
        "bias=",
        "type=",
        "format=",
        "motor=",
        "minutes=",
        "metres=",
        "from=",
        "to=",
    ];

    /// <exception cref="FormatException">A word is not understood.</exception>
    public static OfferFeatures Parse(string text)
    {
        var features = new OfferFeatures();
        foreach (var word in text.Split([' ', ',', ';', '\n', '\r', '\t'], StringSplitOptions.RemoveEmptyEntries))
        {
            var equals = word.IndexOf('=');
            features =
                equals < 0
                    ? Plain(features, word.ToLowerInvariant())
                    : Valued(features, word[..equals].ToLowerInvariant(), word[(equals + 1)..]);
        }
        return features;
    }

    private static OfferFeatures Plain(OfferFeatures features, string word) =>
        word switch
        {
            "off-tape" => features with { HasOffTape = true },
            "pitch" => features with { HasPitch = true },
            "portable" => features with { IsPortable = true },
            "battery" => features with { HasBattery = true },
            "live-chassis" => features with { HasLiveChassis = true },
            "earthed" => features with { HasSafetyEarth = true },
            "worn-lead" => features with { HasWornLead = true },
            "sticky" => features with { IsSticky = true },
            "mould" => features with { IsMouldy = true },
            _ => throw Unknown(word),
        };

    private static OfferFeatures Valued(OfferFeatures features, string key, string value) =>
        key switch
        {
            "tracks" => features with { Tracks = Whole(value, 1, 24, "tracks") },
            "speeds" or "speed" => features with { SpeedsCmPerSecond = [.. value.Split('/').Select(Speed)] },
            "bias" or "type" => features with
            {
                TapeTypes = [.. value.Split('/').Select(t => t.Trim().ToUpperInvariant()).Where(t => t.Length > 0)],
            },
            "format" => features with { Format = Format(value) },
            "motor" => features with { Motor = Motor(value) },
            "minutes" => features with { LengthMetres = TapeLengths.CassetteMetres(MoneyWords.Positive(value)) },
            "metres" => features with { LengthMetres = MoneyWords.Positive(value) },
            "from" => features with { FromVolts = MoneyWords.Positive(value) },
            "to" => features with { ToVolts = MoneyWords.Positive(value) },
            _ => throw Unknown(key + "="),
        };

    internal static double Speed(string text)
    {
        var plain = text.Trim();
        var inches = plain.EndsWith("ips", StringComparison.OrdinalIgnoreCase);
        var number = MoneyWords.Positive((inches ? plain[..^3] : plain).Replace(',', '.'));
        var speed = inches ? Conversions.InchesToCm(number) : number;
        // 9.5 and 19 are printed for 9.525 and 19.05.
        return TapeSpeeds.All.Select(s => s.Speed.CmPerSecond).FirstOrDefault(s => Math.Abs(s - speed) < 0.005 * s, speed);
    }

    internal static string Format(string text) =>
        text.Trim().ToLowerInvariant() switch
        {
            "cassette" => "cassette",
            "reel" => "reel",
            _ => throw new FormatException($"\"{text}\" is not a format; it is cassette or reel"),
        };

    private static MotorKind Motor(string text) =>
        text.Trim().ToLowerInvariant() switch
        {
            "dc" => MotorKind.Dc,
            "synchronous" => MotorKind.Synchronous,
            "induction" => MotorKind.Induction,
            "unknown" => MotorKind.Unknown,
            _ => throw new FormatException($"\"{text}\" is not a motor; it is dc, synchronous, induction or unknown"),
        };

    private static int Whole(string text, int least, int most, string what) =>
        int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var number) && number >= least && number <= most
            ? number
            : throw new FormatException($"\"{text}\" is not a number of {what} from {least} to {most}");

    private static FormatException Unknown(string word) => new($"\"{word}\" is not a feature; there are {string.Join(" ", All)}");
}
