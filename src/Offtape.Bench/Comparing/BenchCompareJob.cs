using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Report;

namespace Offtape.Bench;

/// <summary>What came of comparing reports.</summary>
/// <param name="Comparison">All that was found.</param>
/// <param name="Files">What was written; empty where nothing was asked for. The comparison first, the page second.</param>
public sealed record BenchCompareResult(BenchComparison Comparison, IReadOnlyList<string> Files);

/// <summary>Loads reports, holds them against the first, and writes a page where one is asked for.</summary>
public static class BenchCompareJob
{
    public const string FileName = "compare.json";
    public const string PageName = "compare.html";

    // More would be no table that a person reads.
    private const int MostReports = 20;

    /// <param name="paths">Files of reports, or their folders; two and more.</param>
    /// <param name="folder">Receives the page, its plots and the comparison; null: nothing is written.</param>
    /// <param name="footer">What stands at the foot of the page.</param>
    /// <param name="replace">Whether existing files are replaced.</param>
    /// <exception cref="Fault">
    /// Usage: too few or too many, or one twice. Input: one of them cannot be read. Output: a file exists, or cannot be written.
    /// </exception>
    public static BenchCompareResult Run(IReadOnlyList<string> paths, string? folder, string footer, bool replace)
    {
        if (paths.Count is < 2 or > MostReports)
            throw Fault.Usage(
                $"A comparison takes 2 to {MostReports} reports, not {paths.Count}",
                "Give the bench.json files that bench read wrote, or their folders."
            );
        string[] files = [.. paths.Select(p => Directory.Exists(p) ? Path.Combine(p, BenchReport.FileName) : p)];
        if (files.Select(Path.GetFullPath).GroupBy(f => f, StringComparer.Ordinal).FirstOrDefault(g => g.Count() > 1) is { } twice)
            throw Fault.Usage($"{twice.Key} is named twice", "A report is held against another one.");
        var reports = files.Select(BenchReport.Load).ToArray();
        if (folder is not null)
            BenchFolder.CheckTargets(folder, replace, FileName, PageName);
        var comparison = ReportComparer.Compare(reports, files);
        if (folder is null)
            return new BenchCompareResult(comparison, []);
        // The comparison may have put them in order of time.
        BenchReport[] ordered = [.. comparison.Reports.Select(r => reports[Array.IndexOf(files, r.File)])];
        var plots = ComparisonPlots.Of(comparison, ordered);
        BenchFolder.CheckTargets(folder, replace, plots.Select(p => p.Name));
        BenchFolder.Make(folder);
        var written = new List<string> { Path.Combine(folder, FileName), Path.Combine(folder, PageName) };
        foreach (var (name, plot, _) in plots)
        {
            written.Add(Path.Combine(folder, name));
            SafeFile.WriteText(written[^1], plot.ToSvg(), replace);
        }
        SafeFile.WriteText(written[1], ComparisonPage.Html(comparison, ordered, footer), replace);
        SafeFile.WriteText(written[0], comparison.ToJson() + "\n", replace);
        return new BenchCompareResult(comparison, written);
    }
}
