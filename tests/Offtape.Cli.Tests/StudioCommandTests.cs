using System.Text;
using Offtape.Cli.Tests.Running;

namespace Offtape.Cli.Tests;

/// <summary>Kit, patch and levels from the command line, with the invented example that the program writes itself.</summary>
public sealed class StudioCommandTests
{
    [Fact]
    public void The_templates_lead_to_baskets_a_patch_and_a_viewing_sheet()
    {
        using var folder = new TemporaryFolder();
        Assert.Equal(0, Tool.RunIn(folder.Path, "kit", "template", "--to", ".").ExitCode);
        var found = Tool.RunIn(folder.Path, "kit", "find", "request.json", "--offers", "offers.csv", "--to", "kit", "--json");
        Assert.Equal((0, ""), (found.ExitCode, found.Error));
        var first = found.Json.GetProperty("baskets")[0];
        Assert.Equal("Lantern Quay deck A (invented)", first.GetProperty("machine").GetProperty("title").GetString());
        // 120 + 9.50, one more pair of leads for 8.50 + 3, a C60 for 2.50 + 2.
        Assert.Equal(145.5m, first.GetProperty("total").GetDecimal());
        Assert.Contains("17 % slow", found.Output, StringComparison.Ordinal);
        Assert.Equal(0, Tool.RunIn(folder.Path, "patch", "plan", "rig.json", "--to", "patch").ExitCode);
        Assert.Equal(
            0,
            Tool.RunIn(folder.Path, "kit", "view", "offers.csv", "--row", "2", "--request", "request.json", "--to", "view").ExitCode
        );
        foreach (
            var file in new[]
            {
                "kit/baskets.csv",
                "kit/patch.svg",
                "kit/patch.pdf",
                "patch/patch.svg",
                "patch/patch.pdf",
                "view/viewing.svg",
                "view/viewing.pdf",
            }
        )
            Assert.Contains(file, folder.Files);
        Assert.Equal(5, Tool.RunIn(folder.Path, "patch", "plan", "rig.json", "--to", "patch").ExitCode);
    }

    [Fact]
    public void An_offer_can_be_typed_in()
    {
        using var folder = new TemporaryFolder();
        Tool.RunIn(folder.Path, "kit", "template", "--to", ".");
        var found = Tool.RunIn(
            folder.Path,
            "kit",
            "find",
            "request.json",
            "--offers",
            "offers.csv",
            "--offer",
            "title=found in the attic; kind=cassette-deck; features=off-tape pitch bias=I; sockets=line-in:rca:2+line-out:rca:2; mains_voltage=230; price=1",
            "--json"
        );
        Assert.Equal("found in the attic", found.Json.GetProperty("baskets")[0].GetProperty("machine").GetProperty("title").GetString());
    }

    [Fact]
    public void A_broken_table_is_exit_4_and_leaves_nothing()
    {
        using var folder = new TemporaryFolder();
        Tool.RunIn(folder.Path, "kit", "template", "--to", ".");
        folder.Write("bad.csv", Encoding.UTF8.GetBytes("title,kind,price\nC60,tape,-3\n"));
        var ran = Tool.RunIn(folder.Path, "kit", "find", "request.json", "--offers", "bad.csv", "--to", "kit");
        Assert.Equal(4, ran.ExitCode);
        Assert.Contains("row 2, column 3 (price)", ran.OneErrorLine, StringComparison.Ordinal);
        Assert.DoesNotContain(folder.Files, f => f.StartsWith("kit/", StringComparison.Ordinal));
    }

    [Fact]
    public void No_basket_within_the_money_is_exit_3()
    {
        using var folder = new TemporaryFolder();
        Tool.RunIn(folder.Path, "kit", "template", "--to", ".");
        File.WriteAllText(
            folder["request.json"],
            File.ReadAllText(folder["request.json"]).Replace("\"money\": 200", "\"money\": 20", StringComparison.Ordinal)
        );
        var ran = Tool.RunIn(folder.Path, "kit", "find", "request.json", "--offers", "offers.csv");
        Assert.Equal(3, ran.ExitCode);
        Assert.Contains("Out of reach by", ran.Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("din5-2rca-record", 3)]
    [InlineData("din5-2rca-record-pad", 0)]
    public void A_patch_that_hurts_is_exit_3_and_says_what_to_do(string lead, int exitCode)
    {
        using var folder = new TemporaryFolder();
        var rig =
            "{ \"interface\": { \"sockets\": [\"line-out:rca:2\"] }, \"machines\": [ { \"name\": \"deck\", \"sockets\": [\"tape-din:din5:2\"] } ], "
            + $"\"wired\": {{ \"pieces\": {{ \"a\": \"{lead}\" }}, \"joins\": [\"interface: line out 1 > a: pin 1\", \"interface: line out 2 > a: pin 4\", \"a: 0 > deck: tape din\"] }} }}";
        folder.Write("rig.json", Encoding.UTF8.GetBytes(rig));
        var ran = Tool.RunIn(folder.Path, "patch", "check", "rig.json", "--json");
        Assert.Equal(exitCode, ran.ExitCode);
        Assert.Equal(
            exitCode == 3,
            ran.Json.GetProperty("hazards")
                .EnumerateArray()
                .Any(h =>
                    h.GetProperty("code").GetString() == "din-record-too-hot"
                    && h.GetProperty("advice").GetString()!.Contains("kΩ", StringComparison.Ordinal)
                )
        );
    }

    /// <summary>0.316 V are 0 on a −10 dBV meter; 250 nWb/m stand 1.94 dB over 200.</summary>
    [Fact]
    public void Levels_are_one_scale()
    {
        var json = Tool.Run("levels", "--full-scale", "18dBu", "--zero", "-10dBV", "--json").Json;
        var zero = json.GetProperty("levels")
            .EnumerateArray()
            .Single(l => l.GetProperty("name").GetString() == "0 on the machine's meter")
            .GetProperty("level");
        Assert.Equal(0.3162, zero.GetProperty("machineVolts").GetDouble(), 4);
        Assert.Equal(-25.78, zero.GetProperty("sendDbfs").GetDouble(), 2);
        Assert.Equal(23.84, json.GetProperty("headroomThere").GetProperty("decibels").GetDouble(), 2);
    }

    [Theory]
    [InlineData("levels needs --full-scale", "levels", "--zero", "4dBu")]
    [InlineData("--zero wants a level with its unit", "levels", "--full-scale", "18dBu", "--zero", "4")]
    [InlineData("kit find needs --offers", "kit", "find", "request.json")]
    [InlineData("kit template needs --to DIR", "kit", "template")]
    [InlineData("kit view needs --row N or --machine TEXT", "kit", "view", "offers.csv", "--to", "x")]
    public void What_is_missing_is_named(string words, params string[] arguments)
    {
        var ran = Tool.Run(arguments);
        Assert.Equal(2, ran.ExitCode);
        Assert.Contains(words, ran.OneErrorLine, StringComparison.Ordinal);
    }

    [Fact]
    public void Every_part_is_listed_once()
    {
        var parts = Tool.Run("patch", "parts", "--json").Json.EnumerateArray().Select(p => p.GetProperty("part").GetString()).ToArray();
        Assert.Equal(parts.Length, parts.Distinct().Count());
        Assert.Contains("din5-4rca-pad", parts);
    }
}
