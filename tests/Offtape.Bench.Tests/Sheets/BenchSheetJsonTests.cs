using System.Text.Json.Nodes;
using Offtape.Base;

namespace Offtape.Bench.Tests;

/// <summary>A sheet survives its file, and a file that is no sheet, or cannot be one, is refused in one line.</summary>
public sealed class BenchSheetJsonTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("offtape-bench").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private string Target => Path.Combine(_folder, BenchSheet.FileName);

    private Fault Refused(Action<JsonNode> change)
    {
        var node = JsonNode.Parse(BenchSheetMaker.Make(new BenchSheetRequest()).ToJson())!;
        change(node);
        File.WriteAllText(Target, node.ToJsonString());
        var fault = Assert.Throws<Fault>(() => BenchSheet.Load(_folder));
        Assert.Equal(ExitCode.InputUnreadable, fault.ExitCode);
        Assert.DoesNotContain('\n', fault.Message);
        return fault;
    }

    [Fact]
    public void What_was_saved_is_read_again()
    {
        var sheet = BenchSheetMaker.Make(new BenchSheetRequest { ChannelCount = 4, LevelDbfs = -14.5 });
        sheet.Save(Target);
        Assert.Equal(sheet.ToJson(), BenchSheet.Load(_folder).ToJson());
        Assert.Contains("\"operatingLevelDbfs\": -14.5", File.ReadAllText(Target), StringComparison.Ordinal);
    }

    [Fact]
    public void A_later_version_is_refused_by_its_number() =>
        Assert.Contains("version 2", Refused(n => n["formatVersion"] = 2).Message, StringComparison.Ordinal);

    [Fact]
    public void A_field_that_cannot_be_is_named()
    {
        Assert.Contains("sampleRateHz", Refused(n => n["sampleRateHz"] = 3).Message, StringComparison.Ordinal);
        Assert.Contains("parts[0].channels", Refused(n => n["parts"]![0]!["channels"]![0] = 7).Message, StringComparison.Ordinal);
        Assert.Contains("parts[2].frequencyHz", Refused(n => n["parts"]![2]!["frequencyHz"] = 24_001).Message, StringComparison.Ordinal);
        Assert.Contains("parts[1].startSeconds", Refused(n => n["parts"]![1]!["startSeconds"] = -1).Message, StringComparison.Ordinal);
        Assert.Contains("list of parts", Refused(n => n["parts"]![1]!["name"] = "polarity").Message, StringComparison.Ordinal);
        Assert.Contains("parts[12].toHz", Refused(n => n["parts"]![12]!["toHz"] = 10).Message, StringComparison.Ordinal);
        Assert.Contains("parts[12].lengthSeconds", Refused(n => n["parts"]![12]!["lengthSeconds"] = 5).Message, StringComparison.Ordinal);
        Assert.Contains(
            "phasesRadians",
            Refused(n => n["parts"]![8]!["phasesRadians"]!.AsArray().RemoveAt(0)).Message,
            StringComparison.Ordinal
        );
        Assert.Contains("slates[0].tracks", Refused(n => n["slates"]![0]!["tracks"]!.AsArray().Clear()).Message, StringComparison.Ordinal);
    }

    [Theory, InlineData(""), InlineData("[1]"), InlineData("{\"formatVersion\":1}"), InlineData("{\"formatVersion\":1,\"parts\":3}")]
    public void What_is_no_sheet_is_refused(string text)
    {
        File.WriteAllText(Target, text);
        Assert.Equal(ExitCode.InputUnreadable, Assert.Throws<Fault>(() => BenchSheet.Load(Target)).ExitCode);
    }

    [Fact]
    public void A_missing_file_is_told() =>
        Assert.Contains("no such file", Assert.Throws<Fault>(() => BenchSheet.Load(Target)).Message, StringComparison.Ordinal);
}
