using System.Text.Json.Nodes;
using Offtape.Base;

namespace Offtape.Bench.Tests;

/// <summary>A report is a value: what was saved is what is loaded, and what is no report is refused.</summary>
public sealed class BenchReportTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("offtape-bench").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    internal static Reading Read(
        string quantity,
        double? value,
        double? uncertainty = null,
        string unit = "dB",
        int? channel = null,
        string at = ""
    ) =>
        new()
        {
            Quantity = quantity,
            Channel = channel,
            Condition = at,
            Value = value,
            Uncertainty = uncertainty,
            Unit = unit,
            Method = "by hand",
            Reason = value is null ? "not asked" : null,
        };

    internal static BenchReport Report(params Reading[] readings) =>
        new()
        {
            Machine = "deck <one>",
            How = HowTaken.OffTape,
            Date = "2026-05-31",
            Capture = "a.wav",
            SheetId = "bench-1",
            OperatingLevelDbfs = -12,
            Facts = new ReportFacts { SpeedCmPerSecond = 4.76, Format = "cassette" },
            Runs = [],
            Parts = [new ReportPart("silence", true, null), new ReportPart("speed-3150", false, "the capture ends before it")],
            Readings = readings,
            Curves =
            [
                new ReadingCurve
                {
                    Quantity = "response",
                    Channel = 1,
                    Condition = "−20 dB",
                    XUnit = "Hz",
                    YUnit = "dB",
                    X = [31.5, 1000, 10_000],
                    Y = [-1.5, 0, double.NaN],
                    Uncertainty = [0.1, 0.1, double.NaN],
                    Method = "by hand",
                },
            ],
            Notices = [new Notice("sheet-guessed", "guessed")],
            Summary = "Steady.",
        };

    [Fact]
    public void What_was_saved_is_loaded_again()
    {
        var report = Report(Read("balance", 0.31, 0.02, at: "1 kHz, 0 dB"), Read("azimuth", null, unit: "′"));
        report.Save(Path.Combine(_folder, BenchReport.FileName));
        var loaded = BenchReport.Load(_folder);
        Assert.Equal(report.ToJson(), loaded.ToJson());
        Assert.Equal(HowTaken.OffTape, loaded.How);
        Assert.Equal(0.31, loaded.Find("balance")!.Value);
        Assert.Null(loaded.Find("azimuth"));
        Assert.True(double.IsNaN(loaded.Curves[0].Y[2]));
    }

    [Fact]
    public void In_JSON_what_is_not_known_is_null_and_how_is_the_word_of_the_option()
    {
        var node = JsonNode.Parse(Report(Read("azimuth", null)).ToJson())!;
        Assert.Equal("off-tape", (string?)node["how"]);
        Assert.Null(node["readings"]![0]!["value"]);
        Assert.Null(node["curves"]![0]!["y"]![2]);
        Assert.Equal("the capture ends before it", (string?)node["parts"]![1]!["reason"]);
    }

    [Theory]
    [InlineData("formatVersion", 2)]
    [InlineData("how", "sideways")]
    [InlineData("readings", 3)]
    public void What_is_no_report_of_this_version_is_refused(string field, object value)
    {
        var node = JsonNode.Parse(Report().ToJson())!;
        node[field] = JsonValue.Create(value);
        File.WriteAllText(Path.Combine(_folder, BenchReport.FileName), node.ToJsonString());
        Assert.Equal(ExitCode.InputUnreadable, Assert.Throws<Fault>(() => BenchReport.Load(_folder)).ExitCode);
    }

    [Fact]
    public void A_curve_of_two_lengths_is_refused()
    {
        var node = JsonNode.Parse(Report().ToJson())!;
        node["curves"]![0]!["x"]!.AsArray().RemoveAt(0);
        File.WriteAllText(Path.Combine(_folder, BenchReport.FileName), node.ToJsonString());
        Assert.Equal(ExitCode.InputUnreadable, Assert.Throws<Fault>(() => BenchReport.Load(_folder)).ExitCode);
    }

    [Fact]
    public void The_page_says_the_sentence_first_and_every_figure_and_reason()
    {
        var html = BenchPage.Html(Report(Read("balance", 0.314, 0.02, at: "1 kHz, 0 dB"), Read("azimuth", null)), "made by hand");
        Assert.Contains("Steady.", html, StringComparison.Ordinal);
        Assert.Contains("deck &lt;one&gt;", html, StringComparison.Ordinal);
        Assert.Contains("0.314", html, StringComparison.Ordinal);
        Assert.Contains("not asked", html, StringComparison.Ordinal);
        Assert.Contains("the capture ends before it", html, StringComparison.Ordinal);
        Assert.Contains("<svg", html, StringComparison.Ordinal);
        // It is well-formed, as every page is to be.
        _ = System.Xml.Linq.XDocument.Parse(html);
    }

    [Fact]
    public void Curves_become_plots_once_each_quantity()
    {
        var report = Report();
        var plots = BenchPlots.Of(report with { Curves = [.. report.Curves, report.Curves[0] with { Channel = 2 }] });
        var plot = Assert.Single(plots);
        Assert.Equal("response.svg", plot.Name);
        Assert.Equal(["channel 1", "channel 2"], plot.Plot.Series.OfType<Offtape.Report.LineSeries>().Select(s => s.Label));
    }
}
