namespace Offtape.Studio;

/// <summary>
/// Parts in writing: ends as <c>rca plug</c>, with a label behind a slash where it has one (<c>rca plug/pin 1</c>), and wires as
/// <c>0.tip=1.tip</c>, the ends counted from 0. A wire written with ~ instead of = is attenuated.
/// </summary>
public static class PartNotation
{
    /// <exception cref="FormatException">An end or a wire is not understood.</exception>
    public static PartType Parse(string id, string words, PartKind kind, IEnumerable<string> ends, IEnumerable<string> wires)
    {
        var parsedEnds = ends.Select((e, i) => End(e, i)).ToArray();
        if (parsedEnds.Length is < 2 or > 12)
            throw new FormatException($"part \"{id}\" has {parsedEnds.Length} ends; it needs 2 to 12");
        return new PartType(id, words, kind, parsedEnds, [.. wires.Select(w => Wire(w, parsedEnds))]);
    }

    private static PartEnd End(string text, int number)
    {
        var slash = text.IndexOf('/');
        var label = slash < 0 ? $"{number}" : text[(slash + 1)..].Trim();
        var words = (slash < 0 ? text : text[..slash]).Trim().Split(' ', StringSplitOptions.RemoveEmptyEntries);
        if (words.Length != 2 || words[1] is not ("plug" or "socket") || PlugShapes.Find(words[0]) is not { } shape)
            throw new FormatException($"\"{text}\" is not an end of a part: write its shape and plug or socket, as rca plug");
        return new PartEnd(shape, words[1] == "plug" ? PlugGender.Plug : PlugGender.Socket, label);
    }

    private static PartWire Wire(string text, PartEnd[] ends)
    {
        var isAttenuated = text.Contains('~');
        var halves = text.Split('=', '~');
        if (halves.Length != 2)
            throw new FormatException($"\"{text}\" is not a wire: write 0.tip=1.tip");
        var (fromEnd, fromContact) = Contact(halves[0], ends);
        var (toEnd, toContact) = Contact(halves[1], ends);
        return new PartWire(fromEnd, fromContact, toEnd, toContact, isAttenuated);
    }

    private static (int End, int Contact) Contact(string text, PartEnd[] ends)
    {
        var dot = text.IndexOf('.');
        if (
            dot > 0
            && int.TryParse(text[..dot].Trim(), out var end)
            && end >= 0
            && end < ends.Length
            && ends[end].Shape.IndexOf(text[(dot + 1)..].Trim()) is >= 0 and var contact
        )
            return (end, contact);
        throw new FormatException($"\"{text.Trim()}\" is no contact of this part: write the end's number and the contact, as 0.tip");
    }
}
