using System.Globalization;
using Offtape.Base;

namespace Offtape.Studio;

/// <summary>What is written behind a socket's shape and channels: level, balance and what is unusual about it.</summary>
internal sealed record SocketOptions
{
    public string? Name { get; init; }

    public SignalStandard? Standard { get; init; }

    public Balance? Balance { get; init; }

    public bool IsStereo { get; init; }

    private PhantomPower Phantom { get; init; }

    private bool HasPlugInPower { get; init; }

    private bool HasAutomaticLevel { get; init; }

    private double? NominalDbu { get; init; }

    private double? MaximumDbu { get; init; }

    private double? Ohms { get; init; }

    /// <exception cref="FormatException">A word is not understood.</exception>
    public static SocketOptions Parse(IEnumerable<string> words)
    {
        var options = new SocketOptions();
        foreach (var word in words.Where(w => w.Length > 0))
            options = options.With(word);
        return options;
    }

    /// <summary>The lane with what was said of it.</summary>
    public SocketLane Fill(SocketLane lane)
    {
        var ohms = Ohms ?? lane.Ohms;
        // The record line of a DIN socket is as sensitive as its impedance makes it.
        var scaleDb = lane.Kind == SignalKind.DinRecord ? Conversions.AmplitudeToDb(ohms / lane.Ohms) : 0;
        var nominal = NominalDbu ?? lane.NominalDbu + scaleDb;
        return lane with
        {
            NominalDbu = nominal,
            MaximumDbu = MaximumDbu ?? Math.Max(nominal, lane.MaximumDbu + scaleDb),
            Ohms = ohms,
            Phantom = lane.Flow == Flow.In ? Phantom : PhantomPower.None,
            HasPlugInPower = lane.Flow == Flow.In && HasPlugInPower,
            HasAutomaticLevel = lane.Flow == Flow.In && HasAutomaticLevel,
        };
    }

    private SocketOptions With(string word)
    {
        var plain = word.ToLowerInvariant();
        if (
            SignalStandards.All.FirstOrDefault(s =>
                s.Kind == SignalKind.Line && (s.Id == plain || s.Id == plain.Replace(Words.Minus, '-'))
            ) is
            { } standard
        )
            return this with { Standard = standard };
        var equals = word.IndexOf('=');
        if (equals > 0)
            return WithValue(plain[..equals], word[(equals + 1)..].Trim());
        return plain switch
        {
            "balanced" or "active" => this with { Balance = Studio.Balance.Active },
            "impedance" => this with { Balance = Studio.Balance.Impedance },
            "floating" or "transformer" => this with { Balance = Studio.Balance.Floating },
            "unbalanced" => this with { Balance = Studio.Balance.Unbalanced },
            "stereo" => this with { IsStereo = true },
            "phantom" => this with { Phantom = PhantomPower.Switched },
            "phantom-on" => this with { Phantom = PhantomPower.On },
            "plug-in-power" => this with { HasPlugInPower = true },
            "alc" => this with { HasAutomaticLevel = true },
            _ => throw new FormatException(
                $"\"{word}\" says nothing of a socket; it could be +4, -10, hifi, active, impedance, floating, unbalanced, stereo, phantom, "
                    + "phantom-on, plug-in-power, alc, name=, level=, max= or ohms="
            ),
        };
    }

    private SocketOptions WithValue(string key, string value) =>
        key switch
        {
            "name" when value.Length > 0 => this with { Name = value },
            "level" => this with { NominalDbu = Level(value) },
            "max" => this with { MaximumDbu = Level(value) },
            "ohms" => this with { Ohms = Impedance(value) },
            _ => throw new FormatException($"\"{key}=\" says nothing of a socket; it could be name=, level=, max= or ohms="),
        };

    private static double Level(string value) =>
        LevelWords.ParseDbu(value) ?? throw new FormatException($"\"{value}\" is not a level: write 4dBu, -10dBV or 0.5V");

    private static double Impedance(string value)
    {
        var text = value.ToLowerInvariant();
        var scale =
            text.EndsWith('k') ? 1e3
            : text.EndsWith('m') ? 1e6
            : 1;
        var digits = scale > 1 ? text[..^1] : text;
        return double.TryParse(digits, NumberStyles.Float, CultureInfo.InvariantCulture, out var ohms) && ohms * scale is > 0 and <= 1e8
            ? ohms * scale
            : throw new FormatException($"\"{value}\" is not an impedance: write ohms, as 600 or 47k");
    }
}
