using Offtape.Base;

namespace Offtape.Studio;

/// <summary>What reading everything again has shown, as a sentence.</summary>
public static class VerifyWords
{
    public static string Of(VerifyReport report)
    {
        if (report.IsFine && report.Moved.Count == 0)
            return report.CheckedCount switch
            {
                0 => "The log has no file yet, and its database is sound.",
                1 => "The 1 file of the log is there as it was.",
                _ => $"All {Words.Count(report.CheckedCount, "file")} of the log are there as they were.",
            };
        if (report.IsFine)
            return $"All {Words.Count(report.CheckedCount, "file")} of the log are there; where {report.Moved.Count} of them lie now is noted.";
        var parts = new List<string>();
        void Add(int count, string one, string many)
        {
            if (count > 0)
                parts.Add($"{count} {(count == 1 ? one : many)}");
        }
        Add(report.Missing.Count, "is missing", "are missing");
        Add(report.Changed.Count, "has changed", "have changed");
        Add(report.Moved.Count, "was moved", "were moved");
        Add(report.Unreadable.Count, "cannot be read", "cannot be read");
        var files = parts.Count > 0 ? $"Of {Words.Count(report.CheckedCount, "file")} of the log {Words.List(parts)}. " : "";
        return (files + (report.DatabaseFaults.Count > 0 ? "The database itself is damaged." : "")).TrimEnd();
    }
}
