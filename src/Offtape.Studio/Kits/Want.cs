using System.Globalization;
using Offtape.Base;

namespace Offtape.Studio;

/// <summary>Something wanted of a machine, as it is written: <c>off-tape</c>, <c>speed:19.05</c>, <c>tracks:4</c>.</summary>
public sealed record Want(string Text)
{
    private static readonly string[] _plain = ["off-tape", "pitch", "portable", "line-in", "stereo", "mono"];
    private static readonly string[] _valued = ["speed", "tracks", "format", "kind", "tape-type"];

    private string Key => Text.Split(':')[0];

    private string Value => Text[(Key.Length + 1)..];

    /// <summary>The speed that is wanted, if it is one.</summary>
    public double? SpeedCmPerSecond => Key == "speed" ? FeatureWords.Speed(Value) : null;

    /// <exception cref="FormatException">It is not understood.</exception>
    public static Want Parse(string text)
    {
        var plain = text.Trim().ToLowerInvariant();
        if (_plain.Contains(plain))
            return new Want(plain);
        var key = plain.Split(':')[0];
        if (!plain.Contains(':') || !_valued.Contains(key))
            throw new FormatException(
                $"\"{text}\" is not something to want; there are {string.Join(", ", _plain.Concat(_valued.Select(v => v + ":...")))}"
            );
        var want = new Want(plain);
        switch (key)
        {
            case "speed":
                _ = FeatureWords.Speed(want.Value);
                break;
            case "tracks"
                when !int.TryParse(want.Value, NumberStyles.None, CultureInfo.InvariantCulture, out var tracks) || tracks is < 1 or > 24:
                throw new FormatException($"\"{text}\": tracks are a number from 1 to 24");
            case "format":
                _ = FeatureWords.Format(want.Value);
                break;
            case "kind" when KindName(want.Value) is null:
                throw new FormatException($"\"{text}\": a kind is cassette-deck, cassette-multitrack, reel or portable");
        }
        return want;
    }

    /// <summary>Whether a machine has it.</summary>
    public bool IsMetBy(Offer machine)
    {
        var features = machine.Features;
        return Key switch
        {
            "off-tape" => features.HasOffTape,
            "pitch" => features.HasPitch,
            "portable" => features.IsPortable || machine.Kind == OfferKind.Portable,
            "line-in" => machine.Ports.Any(p => p.Lanes(Flow.In).Any(l => l.Lane.Kind == SignalKind.Line)),
            "stereo" => RecordChannels(machine) >= 2,
            "mono" => RecordChannels(machine) == 1,
            "speed" => features.SpeedsCmPerSecond.Any(s => Math.Abs(s - SpeedCmPerSecond!.Value) < 0.01 * s),
            "tracks" => RecordChannels(machine) >= int.Parse(Value, CultureInfo.InvariantCulture),
            "format" => features.Format == Value,
            "kind" => machine.Kind == KindName(Value),
            _ => features.TapeTypes.Contains(Value.ToUpperInvariant()),
        };
    }

    /// <summary>As one says it.</summary>
    public string Words =>
        Key switch
        {
            "off-tape" => "hearing off tape while it records",
            "pitch" => "a pitch control",
            "portable" => "to be portable",
            "line-in" => "line inputs",
            "stereo" => "stereo",
            "mono" => "mono",
            "speed" => $"{Base.Words.Number(SpeedCmPerSecond!.Value, 2).TrimEnd('0').TrimEnd('.')} cm/s",
            "tracks" => $"{Value} tracks at once",
            "format" => $"{Value} tape",
            "kind" => $"to be a {Value.Replace('-', ' ')}",
            _ => $"tape of type {Value.ToUpperInvariant()}",
        };

    private static int RecordChannels(Offer machine) =>
        machine.Features.Tracks ?? machine.Ports.Select(p => p.Lanes(Flow.In).Count()).DefaultIfEmpty(0).Max();

    private static OfferKind? KindName(string text) =>
        text switch
        {
            "cassette-deck" => OfferKind.CassetteDeck,
            "cassette-multitrack" => OfferKind.CassetteMultitrack,
            "reel" => OfferKind.Reel,
            "portable" => OfferKind.Portable,
            _ => null,
        };
}
