using Offtape.Base;

namespace Offtape.Studio;

/// <summary>What was taken into the log, as sentences.</summary>
public static class RebuildWords
{
    /// <param name="report">What was taken in.</param>
    /// <param name="aside">Where the database of before lies; null: it was not put aside.</param>
    public static string Of(RebuildReport report, string? aside)
    {
        var counts =
            $"New to the log: {Words.Count(report.Sends, "send")}, {Words.Count(report.Returns, "return")}, "
            + $"{Words.Count(report.Benches, "bench", "benches")}, {Words.Count(report.Takes, "take")} without a sheet.";
        return aside is null ? counts : $"{counts} {Aside(aside)}";
    }

    public static string Aside(string path) => $"The database of before lies in {path}. {OnlyThere}";

    /// <summary>What a database that is made anew does not have.</summary>
    public const string OnlyThere =
        "What stood under a path before something else did, and jobs that were closed elsewhere, are there only; what was typed comes from its own files.";
}
