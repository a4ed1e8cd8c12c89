using System.Text;
using System.Text.Json;

namespace Offtape.Studio.Tests;

/// <summary>Rigs for tests, through the same file format that users write.</summary>
internal static class Rigs
{
    /// <param name="desk">Sockets of the interface.</param>
    /// <param name="machine">Sockets of the machine; null for none.</param>
    /// <param name="more">Further fields: drawer, wired, monitoring.</param>
    /// <param name="deskMore">Further fields of the interface.</param>
    /// <param name="machineMore">Further fields of the machine.</param>
    public static Rig Of(string desk, string? machine, string more = "", string deskMore = "", string machineMore = "")
    {
        var machines = machine is null ? "[]" : $$"""[{ "name": "deck", "sockets": {{List(machine)}}{{Comma(machineMore)}} }]""";
        return Parse($$"""{ "interface": { "sockets": {{List(desk)}}{{Comma(deskMore)}} }, "machines": {{machines}}{{Comma(more)}} }""");
    }

    public static Rig Parse(string json) => RigFile.Parse(Encoding.UTF8.GetBytes(json), "rig.json");

    /// <summary>How it is wired, as a field of a rig.</summary>
    public static string Wired(string pieces, params string[] joins) =>
        $$""" "wired": { "pieces": { {{pieces}} }, "joins": {{JsonSerializer.Serialize(joins)}} }""";

    private static string List(string sockets) => JsonSerializer.Serialize(sockets.Split(';'));

    private static string Comma(string more) => more.Length == 0 ? "" : ", " + more;
}
