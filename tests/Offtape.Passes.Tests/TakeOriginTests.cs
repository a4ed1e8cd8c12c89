using System.Xml.Linq;
using Offtape.AudioFiles;

namespace Offtape.Passes.Tests;

/// <summary>
/// A take tells its pass itself: in iXML, read here by another XML reader, and in the coding history of a `bext` chunk, whose lines are those of
/// EBU R 98 (parameters A, F, W, M, T with commas between, each line ended by CR LF; no comma in T).
/// </summary>
public sealed class TakeOriginTests
{
    private static readonly AudioFormat Stereo = new(48_000, 2, SampleEncoding.Pcm24);

    private static readonly TakeOrigin Origin = new()
    {
        PassId = "abcd-2345",
        Source = "bowed <glass> & \u0001kit, \ud83c\udfb8.wav",
        SourceSha256 = new string('a', 64),
        Retiming = "lock",
    };

    [Fact]
    public void What_is_written_is_read_again()
    {
        var read = TakeOrigin.Read(Origin.Into(AudioMetadata.Empty, Stereo));
        // A control character has no place in XML 1.0 (section 2.2).
        Assert.Equal(Origin with { Source = Origin.Source!.Replace("\u0001", "", StringComparison.Ordinal) }, read);
    }

    [Fact]
    public void It_survives_the_file()
    {
        var folder = Directory.CreateTempSubdirectory("offtape-origin-");
        try
        {
            var path = Path.Combine(folder.FullName, "take.wav");
            using (
                var writer = AudioWriter.Create(
                    path,
                    Stereo,
                    Origin.Into(AudioMetadata.Empty with { TimeReferenceFrames = 96_000, Broadcast = new BroadcastExtension() }, Stereo)
                )
            )
            {
                writer.Write(new float[200]);
                writer.Complete();
            }
            using var reader = AudioFile.Open(path);
            Assert.Equal("abcd-2345", TakeOrigin.Read(reader.Metadata)!.PassId);
            Assert.Equal(96_000, reader.Metadata.TimeReferenceFrames);
            // Another program may drop the iXML.
            Assert.Equal("abcd-2345", TakeOrigin.Read(reader.Metadata with { Ixml = null })!.PassId);
        }
        finally
        {
            folder.Delete(true);
        }
    }

    [Fact]
    public void What_stood_in_the_iXML_stays()
    {
        const string before =
            "<?xml version=\"1.0\"?><BWFXML><IXML_VERSION>1.5</IXML_VERSION><SCENE>4</SCENE><OFFTAPE><PASS_ID>old</PASS_ID></OFFTAPE></BWFXML>";
        var after = Origin.Into(AudioMetadata.Empty with { Ixml = before }, Stereo).Ixml!;
        var root = XDocument.Parse(after).Root!;
        Assert.Equal("4", root.Element("SCENE")!.Value);
        Assert.Equal("abcd-2345", Assert.Single(root.Elements("OFFTAPE")).Element("PASS_ID")!.Value);
    }

    [Fact]
    public void A_text_that_is_no_iXML_makes_room()
    {
        foreach (var before in new[] { "not xml", "<OTHER/>", "<!DOCTYPE a [<!ENTITY b \"c\">]><BWFXML>&b;</BWFXML>" })
            Assert.Equal("abcd-2345", TakeOrigin.Read(Origin.Into(AudioMetadata.Empty with { Ixml = before }, Stereo))!.PassId);
    }

    [Theory]
    [InlineData(1, "A=ANALOGUE,M=mono,T=tape; offtape pass abcd-2345\r\nA=PCM,F=48000,W=24,M=mono,T=offtape lock\r\n")]
    [InlineData(2, "A=ANALOGUE,M=stereo,T=tape; offtape pass abcd-2345\r\nA=PCM,F=48000,W=24,M=stereo,T=offtape lock\r\n")]
    [InlineData(4, "A=ANALOGUE,T=tape; offtape pass abcd-2345\r\nA=PCM,F=48000,W=24,T=offtape lock\r\n")]
    public void The_coding_history_goes_on_by_two_lines(int channelCount, string lines)
    {
        const string before = "A=PCM,F=48000,W=24,M=stereo,T=recorder";
        var metadata = AudioMetadata.Empty with { Broadcast = new BroadcastExtension { CodingHistory = before } };
        var after = Origin.Into(metadata, Stereo with { ChannelCount = channelCount });
        Assert.Equal(before + "\r\n" + lines, after.Broadcast!.CodingHistory);
        // A file without such a chunk gets none for this: it would say that it stands at midnight.
        Assert.Null(Origin.Into(AudioMetadata.Empty, Stereo).Broadcast);
    }

    [Fact]
    public void A_file_that_says_nothing_has_no_origin()
    {
        Assert.Null(TakeOrigin.Read(AudioMetadata.Empty));
        Assert.Null(
            TakeOrigin.Read(
                AudioMetadata.Empty with
                {
                    Ixml = "<BWFXML/>",
                    Broadcast = new BroadcastExtension { CodingHistory = "A=PCM" },
                }
            )
        );
    }
}
