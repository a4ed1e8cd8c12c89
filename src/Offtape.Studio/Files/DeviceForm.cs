namespace Offtape.Studio;

/// <summary>A device as it is filled in on a page: one group of sockets a line.</summary>
/// <param name="Name">What it is called.</param>
/// <param name="Sockets">Groups of sockets as docs/kit-and-patch.md writes them, one a line.</param>
/// <param name="HasSafetyEarth">Its chassis is joined to the earth of the mains.</param>
/// <param name="FullScale">Of an interface, what it gives at full scale: 18dBu; empty where it is not known.</param>
public sealed record DeviceForm(string Name, string Sockets, bool HasSafetyEarth, string FullScale = "")
{
    internal static DeviceForm From(DeviceText text, string usualName) =>
        new(text.Name is { Length: > 0 } name ? name : usualName, string.Join('\n', text.Sockets), text.SafetyEarth, text.FullScale ?? "");

    /// <summary>What was not on the page stays as it was.</summary>
    internal DeviceText Into(DeviceText? before) =>
        (before ?? new DeviceText([])) with
        {
            Name = Name.Trim(),
            Sockets = [.. Sockets.Split('\n', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries)],
            SafetyEarth = HasSafetyEarth,
            FullScale = FullScale.Trim() is { Length: > 0 } level ? level : null,
        };
}
