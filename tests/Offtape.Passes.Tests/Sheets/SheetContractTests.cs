using System.Security.Cryptography;
using System.Text.Json;

namespace Offtape.Passes.Tests;

/// <summary>The names of pass.json are a contract with other programs and with sheets already on disk: written out here, letter by letter.</summary>
public sealed class SheetContractTests : IDisposable
{
    private readonly SendBench _bench = new();

    public void Dispose() => _bench.Dispose();

    private static string[] Names(JsonElement element) => [.. element.EnumerateObject().Select(p => p.Name)];

    [Fact]
    public void Every_field_has_its_name()
    {
        var source = _bench.Source("kit.wav", 1.5, 2, peak: 0.25);
        _bench.Run(
            _bench.Request(source, _bench.Source("bass.wav", 0.5)) with
            {
                SpeedCmPerSecond = 4.76,
                SideMinutes = 30,
                StripeTrack = 3,
                LineUp = true,
                PassId = "abcd-2345",
            }
        );
        using var json = JsonDocument.Parse(File.ReadAllText(_bench.SheetPath));
        var root = json.RootElement;
        Assert.Equal(
            [
                "formatVersion",
                "passId",
                "sampleRateHz",
                "channelCount",
                "printRatio",
                "reversed",
                "speedCmPerSecond",
                "layout",
                "depth",
                "lengthSeconds",
                "levelDbfs",
                "levelEach",
                "operatingLevelDbfs",
                "slateLevelDbfs",
                "slateFormatVersion",
                "items",
                "slates",
                "stripe",
                "lineUp",
                "tapeMetres",
                "sideMinutes",
                "run",
                "madeAt",
            ],
            Names(root)
        );
        Assert.Equal(1, root.GetProperty("formatVersion").GetInt32());
        Assert.Equal("abcd-2345", root.GetProperty("passId").GetString());
        Assert.Equal(48_000, root.GetProperty("sampleRateHz").GetInt32());
        Assert.Equal(3, root.GetProperty("channelCount").GetInt32());
        Assert.Equal(1, root.GetProperty("printRatio").GetDouble());
        Assert.False(root.GetProperty("reversed").GetBoolean());
        Assert.Equal(4.76, root.GetProperty("speedCmPerSecond").GetDouble());
        Assert.Equal("serial", root.GetProperty("layout").GetString());
        Assert.Equal("24", root.GetProperty("depth").GetString());

        var item = root.GetProperty("items")[0];
        Assert.Equal(
            [
                "source",
                "sourceNumber",
                "sourcePath",
                "sha256",
                "startSeconds",
                "lengthSeconds",
                "sendLengthSeconds",
                "gainDb",
                "peakDbfs",
                "tracks",
                "sampleRateHz",
                "channelCount",
                "frameCount",
                "timeReferenceFrames",
            ],
            Names(item)
        );
        Assert.Equal("kit.wav", item.GetProperty("source").GetString());
        Assert.Equal(JsonValueKind.Null, item.GetProperty("sourceNumber").ValueKind);
        Assert.Equal(Convert.ToHexStringLower(SHA256.HashData(File.ReadAllBytes(source))), item.GetProperty("sha256").GetString());
        Assert.Equal(29, item.GetProperty("startSeconds").GetDouble());
        Assert.Equal(1.5, item.GetProperty("lengthSeconds").GetDouble());
        Assert.Equal([1, 2], item.GetProperty("tracks").EnumerateArray().Select(t => t.GetInt32()));

        var slate = root.GetProperty("slates")[1];
        Assert.Equal(["kind", "number", "startSeconds", "lengthSeconds", "tracks"], Names(slate));
        Assert.Equal("gap", slate.GetProperty("kind").GetString());
        Assert.Equal(
            ["formatVersion", "track", "seed", "startSeconds", "lengthSeconds", "fadeSeconds", "levelDbfs"],
            Names(root.GetProperty("stripe"))
        );
        Assert.Equal(["frequencyHz", "levelDbfs", "startSeconds", "lengthSeconds", "tracks"], Names(root.GetProperty("lineUp")));
    }

    [Fact]
    public void What_was_not_asked_for_is_null()
    {
        _bench.Run(_bench.Request(_bench.Source("a.wav", 0.5)) with { Slates = false });
        using var json = JsonDocument.Parse(File.ReadAllText(_bench.SheetPath));
        foreach (var name in new[] { "speedCmPerSecond", "slateFormatVersion", "stripe", "lineUp", "tapeMetres", "sideMinutes" })
            Assert.Equal(JsonValueKind.Null, json.RootElement.GetProperty(name).ValueKind);
        Assert.Empty(json.RootElement.GetProperty("slates").EnumerateArray());
    }

    [Fact]
    public void Names_beyond_plain_letters_stay_legible()
    {
        _bench.Run(_bench.Request(_bench.Source("Röhre & 铃 + 'x'.wav", 0.5)));
        Assert.Contains("\"Röhre & 铃 + 'x'.wav\"", File.ReadAllText(_bench.SheetPath));
    }

    /// <summary>Seen from the sheet, so that a folder that holds both can be moved; never from the root of the machine.</summary>
    [Fact]
    public void A_source_s_place_is_told_from_the_sheet_s_folder()
    {
        var result = _bench.Run(_bench.Request(_bench.Source("deep/folder/a.wav", 0.5)));
        Assert.Equal("../deep/folder/a.wav", result.Sheet.Items[0].SourcePath);
        Assert.Equal("a.wav", result.Sheet.Items[0].Source);
        Assert.DoesNotContain(_bench.Folder, File.ReadAllText(_bench.SheetPath));
    }

    [Fact]
    public void Every_pass_has_an_identity_of_its_own()
    {
        var source = _bench.Source("a.wav", 0.1);
        var identities = Enumerable
            .Range(0, 20)
            .Select(_ => _bench.Run(_bench.Request(source) with { Force = true }).Sheet.PassId)
            .ToArray();
        Assert.Equal(20, identities.Distinct().Count());
        Assert.All(identities, id => Assert.Matches("^[2-9a-z]{4}-[2-9a-z]{4}$", id));
    }
}
