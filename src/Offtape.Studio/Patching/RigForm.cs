using System.Text.Json;
using Offtape.Base;

namespace Offtape.Studio;

/// <summary>
/// A rig as it is filled in on a page, kept as the same file that <c>offtape patch plan</c> reads. What a page does not show (parts of one's
/// own, monitoring, a wired patch) stays as it was.
/// </summary>
public sealed class RigForm
{
    private const string Name = "rig.json";
    private readonly RigText _before;

    private RigForm(RigText text)
    {
        _before = text;
        Interface = DeviceForm.From(text.Interface, "interface");
        Machines = [.. text.Machines.Select((m, i) => DeviceForm.From(m, $"machine {i + 1}"))];
        Drawer = new Dictionary<string, int>(text.Drawer);
        Prices = new Dictionary<string, decimal>(text.Prices);
    }

    public DeviceForm Interface { get; set; }

    public List<DeviceForm> Machines { get; }

    /// <summary>How many of each part lie in the drawer, by the part's name.</summary>
    public Dictionary<string, int> Drawer { get; }

    public Dictionary<string, decimal> Prices { get; }

    /// <summary>An invented one to begin with.</summary>
    public static RigForm Example => Parse(System.Text.Encoding.UTF8.GetBytes(KitTemplates.Rig), Name);

    /// <exception cref="Fault">Input: no such file, or no rig.</exception>
    public static RigForm Load(string path) => Parse(StudioJson.Bytes(path), path);

    /// <summary>The file's text.</summary>
    public string ToJson() => JsonSerializer.Serialize(Text, StudioJson.Context.RigText) + "\n";

    /// <summary>What it says, checked.</summary>
    /// <exception cref="Fault">Input: something in it is not understood.</exception>
    public Rig ToRig() => RigFile.Parse(System.Text.Encoding.UTF8.GetBytes(ToJson()), Name);

    private RigText Text =>
        _before with
        {
            Interface = Interface.Into(_before.Interface),
            Machines = [.. Machines.Select((m, i) => m.Into(i < _before.Machines.Count ? _before.Machines[i] : null))],
            Drawer = Drawer,
            Prices = Prices,
            // It told how the devices were wired that stood there before.
            Wired = null,
        };

    private static RigForm Parse(byte[] utf8, string path) => new(StudioJson.Read(utf8, path, StudioJson.Context.RigText, "a rig"));
}
