using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Bench;
using Offtape.Web.Folders;

namespace Offtape.Web.Benching;

/// <summary>One sitting at the bench: a machine, a check signal, what was recorded of it, and the report.</summary>
/// <param name="Studio">The studio it is in.</param>
/// <param name="FolderName">The name of its folder under bench.</param>
/// <param name="Plan">What was said of it.</param>
public sealed record BenchSitting(StudioFolder Studio, string FolderName, BenchPlan Plan)
{
    public string Folder => Path.Combine(Studio.Benches, FolderName);

    public string CapturesFolder => Path.Combine(Folder, "captures");

    public string ReportFolder => Path.Combine(Folder, "report");

    public string ReportPath => Path.Combine(ReportFolder, BenchReport.FileName);

    public string SignalPath => Path.Combine(Folder, BenchSheet.SignalFileName);

    public string SheetPath => Path.Combine(Folder, BenchSheet.FileName);

    public string LineUpPath => Path.Combine(Folder, LineUpJob.FileName);

    internal string PlanPath => Path.Combine(Folder, BenchPlan.FileName);

    public bool HasSignal => File.Exists(SignalPath) && File.Exists(SheetPath);

    /// <summary>What was recorded, in order of name.</summary>
    public IReadOnlyList<string> Captures()
    {
        try
        {
            return Directory.Exists(CapturesFolder)
                ?
                [
                    .. Directory
                        .GetFiles(CapturesFolder)
                        .Where(f => AudioFile.IsAudioName(f) && Studio.Holds(f))
                        .OrderBy(Path.GetFileName, StringComparer.OrdinalIgnoreCase),
                ]
                : [];
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            return [];
        }
    }

    /// <summary>The sheet of its check signal; null where there is none that can be read.</summary>
    public BenchSheet? Sheet()
    {
        try
        {
            return HasSignal ? BenchSheet.Load(SheetPath) : null;
        }
        catch (Fault)
        {
            return null;
        }
    }
}
