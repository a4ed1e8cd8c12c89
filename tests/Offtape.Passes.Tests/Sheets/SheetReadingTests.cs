using System.Text;
using Offtape.Base;

namespace Offtape.Passes.Tests;

/// <summary>Sheets that come from disk: whole, edited by hand, damaged, of another time.</summary>
public sealed class SheetReadingTests : IDisposable
{
    private readonly SendBench _bench = new();

    public void Dispose() => _bench.Dispose();

    private string Written()
    {
        _bench.Run(
            _bench.Request(_bench.Source("a.wav", 0.5), _bench.Source("b.wav", 0.7, 2)) with
            {
                StripeTrack = 4,
                LineUp = true,
                SpeedCmPerSecond = 9.53,
                PrintRatio = 1.25,
                Reversed = true,
            }
        );
        return File.ReadAllText(_bench.SheetPath);
    }

    private Fault Refused(string text)
    {
        var path = Path.Combine(_bench.Folder, "edited.json");
        File.WriteAllText(path, text);
        var fault = Assert.Throws<Fault>(() => PassSheet.Load(path));
        Assert.Equal(ExitCode.InputUnreadable, fault.ExitCode);
        Assert.DoesNotContain('\n', fault.Message);
        Assert.Contains("edited.json", fault.Message);
        return fault;
    }

    [Fact]
    public void A_sheet_comes_back_as_it_was_from_its_folder_or_its_file()
    {
        var text = Written();
        Assert.Equal(text, PassSheet.Load(_bench.Target).ToJson());
        Assert.Equal(text, PassSheet.Load(_bench.SheetPath).ToJson());
    }

    /// <summary>The smallest sheet that the contract allows: only the fields that it names.</summary>
    [Fact]
    public void The_fields_of_the_contract_are_enough()
    {
        var path = Path.Combine(_bench.Folder, "pass.json");
        File.WriteAllText(
            path,
            """
            { "formatVersion": 1, "passId": "x", "sampleRateHz": 48000, "channelCount": 2, "printRatio": 1, "reversed": false,
              "speedCmPerSecond": 4.76, "items": [ { "source": "kit.wav", "sha256": "0000000000000000000000000000000000000000000000000000000000000000",
              "startSeconds": 8.0, "lengthSeconds": 11.4, "gainDb": -6.0, "tracks": [1,2] } ], "slates": [], "stripe": null,
              "somethingOfTomorrow": { "a": 1 } }
            """
        );
        var sheet = PassSheet.Load(path);
        Assert.Equal(11.4, sheet.Items[0].LengthSeconds);
        Assert.Equal(4.76, sheet.SpeedCmPerSecond);
    }

    [Fact]
    public void A_missing_sheet_is_said_to_be_missing()
    {
        var fault = Assert.Throws<Fault>(() => PassSheet.Load(Path.Combine(_bench.Folder, "none")));
        Assert.Equal(ExitCode.InputUnreadable, fault.ExitCode);
        Assert.Contains("no such file", fault.Message);
    }

    [Fact]
    public void A_later_version_says_what_to_do() =>
        Assert.Contains(
            "newer Offtape",
            Refused(Written().Replace("\"formatVersion\": 1,\n  \"passId\"", "\"formatVersion\": 2,\n  \"passId\"")).Message
        );

    [Theory]
    [InlineData("")]
    [InlineData("not a sheet at all")]
    [InlineData("[]")]
    [InlineData("{}")]
    [InlineData("null")]
    [InlineData("{ \"formatVersion\": \"1\" }")]
    [InlineData("{ \"formatVersion\": 1 }")]
    [InlineData("{ \"formatVersion\": 1.5 }")]
    public void Something_else_is_not_a_sheet(string text) => Assert.Contains("not a pass sheet", Refused(text).Message);

    [Fact]
    public void A_break_is_told_by_its_byte()
    {
        var text = Written();
        var at = text.IndexOf("\"channelCount\"", StringComparison.Ordinal);
        var fault = Refused(text[..at] + "?" + text[at..]);
        Assert.Equal(Encoding.UTF8.GetByteCount(text[..at]), fault.ByteOffset);
    }

    [Theory]
    [InlineData("\"sampleRateHz\": 48000,\n  \"channelCount\"", "\"sampleRateHz\": 12,\n  \"channelCount\"", "sampleRateHz")]
    [InlineData("\"channelCount\": 4,", "\"channelCount\": 0,", "channelCount")]
    [InlineData("\"channelCount\": 4,", "\"channelCount\": 1,", "tracks")]
    [InlineData("\"printRatio\": 1.25", "\"printRatio\": 0", "printRatio")]
    [InlineData("\"printRatio\": 1.25", "\"printRatio\": 1e999", "printRatio")]
    [InlineData("\"startSeconds\": 29,", "\"startSeconds\": -1,", "items[0].startSeconds")]
    [InlineData("\"lengthSeconds\": 0.5,", "\"lengthSeconds\": 0,", "items[0].lengthSeconds")]
    [InlineData("\"source\": \"a.wav\"", "\"source\": \"../a.wav\"", "items[0].source")]
    [InlineData("\"kind\": \"head\"", "\"kind\": \"foot\"", "slates[0].kind")]
    [InlineData("\"passId\": ", "\"passId\": null, \"was\": ", "passId")]
    [InlineData("\"seed\": \"", "\"seed\": \"g", "stripe.seed")]
    public void An_impossible_field_is_named(string from, string to, string field)
    {
        var text = Written();
        Assert.Contains(from, text);
        Assert.Contains(field, Refused(text.Replace(from, to)).Message);
    }

    /// <summary>Any damage ends in a sheet or in one plain line, never in another exception.</summary>
    [Fact]
    public void Random_damage_is_met_calmly()
    {
        var bytes = Encoding.UTF8.GetBytes(Written());
        var path = Path.Combine(_bench.Folder, "damaged.json");
        var random = new Random(5);
        var refused = 0;
        for (var round = 0; round < 400; round++)
        {
            var damaged = bytes[..random.Next(1, bytes.Length + 1)].ToArray();
            for (var i = random.Next(4); i >= 0; i--)
                damaged[random.Next(damaged.Length)] = (byte)random.Next(256);
            File.WriteAllBytes(path, damaged);
            try
            {
                PassSheet.Load(path);
            }
            catch (Fault fault)
            {
                Assert.Equal(ExitCode.InputUnreadable, fault.ExitCode);
                refused++;
            }
        }
        Assert.InRange(refused, 350, 400);
    }
}
