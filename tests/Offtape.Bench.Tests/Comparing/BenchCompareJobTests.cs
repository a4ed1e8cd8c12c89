using System.Text.Json.Nodes;
using Offtape.Base;

namespace Offtape.Bench.Tests;

/// <summary>From report files to a page: what is written, and what is refused.</summary>
public sealed class BenchCompareJobTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("offtape-compare").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private string Saved(string name, double balance, string date)
    {
        var folder = Directory.CreateDirectory(Path.Combine(_folder, name)).FullName;
        var report = BenchReportTests.Report(BenchReportTests.Read("balance", balance, 0.1, at: "1 kHz, 0 dB")) with { Date = date };
        report.Save(Path.Combine(folder, BenchReport.FileName));
        return folder;
    }

    [Fact]
    public void A_page_its_plots_and_the_comparison_are_written()
    {
        var target = Path.Combine(_folder, "changes");
        var result = BenchCompareJob.Run([Saved("b", 2, "2026-06-30"), Saved("a", 1, "2026-05-31")], target, "by hand", false);
        Assert.All(result.Files, f => Assert.True(File.Exists(f), f));
        Assert.Contains(result.Files, f => f.EndsWith("compare-response-1.svg", StringComparison.Ordinal));
        Assert.Contains(result.Files, f => f.EndsWith("compare-trend-1.svg", StringComparison.Ordinal));
        var html = File.ReadAllText(result.Files[1]);
        _ = System.Xml.Linq.XDocument.Parse(html);
        Assert.Contains("+1.00", html, StringComparison.Ordinal);
        var json = JsonNode.Parse(File.ReadAllText(result.Files[0]))!;
        Assert.Equal("2026-05-31", (string?)json["reports"]![0]!["label"]);
        Assert.Equal("changed", (string?)json["readings"]![0]!["figures"]![1]!["verdict"]);
        Assert.Equal(
            ExitCode.OutputUnwritable,
            Assert.Throws<Fault>(() => BenchCompareJob.Run([Saved2("a"), Saved2("b")], target, "", false)).ExitCode
        );
        Assert.NotEmpty(BenchCompareJob.Run([Saved2("a"), Saved2("b")], target, "", true).Files);
    }

    private string Saved2(string name) => Path.Combine(_folder, name, BenchReport.FileName);

    [Fact]
    public void One_report_or_one_twice_is_wrong_usage_and_what_is_none_cannot_be_read()
    {
        var one = Saved("a", 1, "2026-05-31");
        Assert.Equal(ExitCode.Usage, Assert.Throws<Fault>(() => BenchCompareJob.Run([one], null, "", false)).ExitCode);
        Assert.Equal(ExitCode.Usage, Assert.Throws<Fault>(() => BenchCompareJob.Run([one, Saved2("a")], null, "", false)).ExitCode);
        Assert.Equal(
            ExitCode.InputUnreadable,
            Assert.Throws<Fault>(() => BenchCompareJob.Run([one, Path.Combine(_folder, "none")], null, "", false)).ExitCode
        );
    }
}
