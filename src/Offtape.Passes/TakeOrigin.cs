using System.Xml;
using System.Xml.Linq;
using Offtape.AudioFiles;
using Offtape.Base;

namespace Offtape.Passes;

/// <summary>
/// Where a take comes from, written into the take itself, so that the file tells it also under another name. It stands in the file's iXML
/// (element OFFTAPE, beside what stands there already), and where the file has a `bext` chunk also in its coding history, after EBU R 98:
/// a line for the tape (A=ANALOGUE) and one for the take.
/// </summary>
public sealed record TakeOrigin
{
    private const string Root = "BWFXML";
    private const string Element = "OFFTAPE";
    private const string HistoryMark = "offtape pass ";

    /// <summary>The pass, as pass.json has it; null where the take was found without a sheet.</summary>
    public string? PassId { get; init; }

    /// <summary>The source's file name.</summary>
    public string? Source { get; init; }

    /// <summary>SHA-256 of the source's file; null where it is not known.</summary>
    public string? SourceSha256 { get; init; }

    /// <summary><c>shift</c>, <c>fit</c>, <c>steady</c>, <c>lock</c>; null where only the coding history tells.</summary>
    public string? Retiming { get; init; }

    /// <summary>What a file says of its origin; null where it says nothing.</summary>
    public static TakeOrigin? Read(AudioMetadata metadata)
    {
        if (Parsed(metadata.Ixml)?.Root?.Element(Element) is { } element)
        {
            string? Text(string name) => element.Element(name)?.Value is { Length: > 0 } text ? text : null;
            return new TakeOrigin
            {
                PassId = Text("PASS_ID"),
                Source = Text("SOURCE"),
                SourceSha256 = Text("SOURCE_SHA256"),
                Retiming = Text("RETIMING"),
            };
        }
        var history = metadata.Broadcast?.CodingHistory ?? "";
        var at = history.LastIndexOf(HistoryMark, StringComparison.Ordinal);
        if (at < 0)
            return null;
        var rest = history[(at + HistoryMark.Length)..];
        var end = rest.IndexOfAny([';', ',', '\r', '\n', ' ']);
        return new TakeOrigin { PassId = end < 0 ? rest : rest[..end] };
    }

    /// <summary>The same metadata with the origin in it.</summary>
    /// <param name="metadata">What else the take says.</param>
    /// <param name="format">Of the take.</param>
    public AudioMetadata Into(AudioMetadata metadata, AudioFormat format) =>
        metadata with
        {
            Ixml = IntoIxml(metadata.Ixml),
            Broadcast = metadata.Broadcast is { } broadcast
                ? broadcast with
                {
                    CodingHistory = IntoHistory(broadcast.CodingHistory, format),
                }
                : null,
        };

    private string IntoIxml(string? ixml)
    {
        var document = Parsed(ixml) ?? new XDocument(new XElement(Root, new XElement("IXML_VERSION", "1.61")));
        document.Root!.Element(Element)?.Remove();
        document.Root.Add(
            new XElement(
                Element,
                Part("PASS_ID", PassId),
                Part("SOURCE", Source),
                Part("SOURCE_SHA256", SourceSha256),
                Part("RETIMING", Retiming)
            )
        );
        return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n" + document.Root;
    }

    private static XElement? Part(string name, string? text) => text is null ? null : new XElement(name, Printable(text));

    // XML 1.0 has no place for control characters; a file name may hold them.
    private static string Printable(string text) =>
        string.Concat(text.EnumerateRunes().Where(r => r.Value > char.MaxValue || XmlConvert.IsXmlChar((char)r.Value)));

    // A text that is no XML of that kind is not ours to repair: it makes room for one that is.
    private static XDocument? Parsed(string? ixml)
    {
        if (string.IsNullOrWhiteSpace(ixml))
            return null;
        try
        {
            using var reader = XmlReader.Create(
                new StringReader(ixml.TrimEnd('\0')),
                new XmlReaderSettings { DtdProcessing = DtdProcessing.Prohibit, XmlResolver = null }
            );
            var document = XDocument.Load(reader);
            return document.Root?.Name == Root ? document : null;
        }
        catch (XmlException)
        {
            return null;
        }
    }

    private string IntoHistory(string history, AudioFormat format)
    {
        var mode = format.ChannelCount switch
        {
            1 => ",M=mono",
            2 => ",M=stereo",
            _ => "",
        };
        var start = history.Length == 0 || history.EndsWith("\r\n", StringComparison.Ordinal) ? history : history + "\r\n";
        return start
            + $"A=ANALOGUE{mode},T=tape{(PassId is null ? "" : $"; {HistoryMark}{PassId}")}\r\n"
            + $"A=PCM,F={format.SampleRateHz},W={8 * format.BytesPerSample}{mode},T=offtape {Retiming}\r\n";
    }
}
