using Offtape.Base;

namespace Offtape.Studio;

/// <summary>Reads a rig: the interface, the machines, the drawer, and how it is wired now. docs/kit-and-patch.md describes the file.</summary>
public static class RigFile
{
    private const string Kind = "a rig";

    /// <exception cref="Fault">Input: no such file, not a rig, or something in it is not understood.</exception>
    public static Rig Read(string path) => Parse(StudioJson.Bytes(path), path);

    /// <inheritdoc cref="Read"/>
    /// <param name="utf8">The file's bytes.</param>
    /// <param name="path">Its name, for faults.</param>
    public static Rig Parse(byte[] utf8, string path)
    {
        var text = StudioJson.Read(utf8, path, StudioJson.Context.RigText, Kind);
        StudioJson.CheckVersion(text.FormatVersion, path, Kind);
        try
        {
            var machines = text
                .Machines.Select((m, i) => DeviceTexts.Device(m, text.Machines.Count == 1 ? "machine" : $"machine {i + 1}"))
                .ToArray();
            var desk = DeviceTexts.Device(text.Interface, "interface");
            if (machines.Append(desk).GroupBy(d => d.Name).FirstOrDefault(g => g.Count() > 1) is { } twice)
                throw new FormatException($"two devices are called \"{twice.Key}\"");
            var parts = PartsWith(text.Parts);
            Known(parts, text.Drawer.Keys, "drawer");
            Known(parts, text.Prices.Keys, "prices");
            if (text.Drawer.FirstOrDefault(d => d.Value < 0) is { Key: not null } less)
                throw new FormatException($"the drawer holds {less.Value} of {less.Key}");
            if (text.Prices.FirstOrDefault(p => p.Value < 0) is { Key: not null } cheap)
                throw new FormatException($"the price of {cheap.Key} is below zero");
            var rig = new Rig
            {
                Interface = desk,
                Machines = machines,
                Drawer = text.Drawer,
                Prices = text.Prices,
                Parts = parts,
                Monitoring = [.. text.Monitoring.Select(m => new Monitoring(m.Input, m.Output))],
                FullScaleDbu = DeviceTexts.FullScale(text.Interface),
            };
            return text.Wired is { } wired ? rig with { Wired = WiredTexts.Parse(rig, wired) } : rig;
        }
        catch (FormatException error)
        {
            throw Fault.Input(path, error.Message, null, "docs/kit-and-patch.md describes a rig.", error);
        }
    }

    /// <summary>The usual parts with those of one's own behind them; an id that is there already is replaced.</summary>
    internal static IReadOnlyList<PartType> PartsWith(IReadOnlyList<PartText> own)
    {
        var parsed = own.Select(p =>
                PartNotation.Parse(p.Id, p.Words, KindOf(p.Kind), p.Ends, p.Wires) with
                {
                    AttenuationDb = p.AttenuationDb is >= 0 and <= 120
                        ? p.AttenuationDb
                        : throw new FormatException($"part \"{p.Id}\" attenuates by {p.AttenuationDb} dB"),
                    BlocksDc = p.BlocksDc,
                    Isolates = p.Isolates,
                    TakesSpeakerLevel = p.TakesSpeakerLevel,
                }
            )
            .ToArray();
        return [.. PartTypes.All.Where(p => parsed.All(o => o.Id != p.Id)), .. parsed];
    }

    internal static void Known(IReadOnlyList<PartType> parts, IEnumerable<string> ids, string where)
    {
        foreach (var id in ids)
            if (parts.All(p => p.Id != id))
                throw new FormatException($"{where} names \"{id}\", and there is no such part; offtape patch parts lists them");
    }

    private static PartKind KindOf(string text) =>
        Enum.TryParse<PartKind>(text, ignoreCase: true, out var kind) && Enum.IsDefined(kind) && !char.IsAsciiDigit(text[0])
            ? kind
            : throw new FormatException($"\"{text}\" is not a kind of part; it is one of cable, adapter, attenuator, transformer");
}
