using Offtape.Base;
using Offtape.Web.Jobs;
using Offtape.Web.Printing;

namespace Offtape.Web.Bringing;

/// <summary>The demo as a pass like any other: its sounds, a send, a capture from a machine that is not there, and its takes.</summary>
public sealed class DemoDesk(WebOptions options, PassBook passes, JobDesk jobs, SendDesk sends, ReturnDesk returns)
{
    public bool IsThere => options.Demo is not null;

    public string PieceName => options.Demo?.PieceName ?? "";

    public string MachineName => options.Demo?.MachineName ?? "";

    /// <summary>Begins the demo.</summary>
    /// <returns>Its pass.</returns>
    /// <exception cref="Fault">Its folder cannot be made.</exception>
    public PassFolder Begin()
    {
        var demo = options.Demo ?? throw new InvalidOperationException("There is no demo.");
        var running = jobs.All.FirstOrDefault(j => j.Kind == JobKind.Demo && !j.IsOver);
        if (running is not null && passes.Find(running.PassId) is { } same)
            return same;
        var begun = passes.Begin(demo.PieceName);
        var id = begun.Plan.Id;
        var pass =
            passes.Change(
                id,
                p => p with { Machine = demo.MachineName, Tape = "C60", SideMinutes = 30, SpeedCmPerSecond = demo.SpeedCmPerSecond }
            ) ?? begun;
        jobs.Begin(JobKind.Demo, id, $"playing {demo.PieceName}", (progress, cancellation) => Play(demo, pass, progress, cancellation));
        return pass;
    }

    private string Play(IDemoMaterial demo, PassFolder pass, JobProgress progress, CancellationToken cancellation)
    {
        progress.Report("playing", 0, $"playing {demo.PieceName}");
        var sources = demo.WriteSources(pass.SourcesFolder, progress.Part(0, 0.1), cancellation);
        passes.Change(pass.Plan.Id, p => p with { Order = [.. sources.Select(s => Path.GetFileName(s))] });
        pass = passes.Find(pass.Plan.Id) ?? pass;
        sends.Make(pass, progress.Part(0.1, 0.2), cancellation);
        Directory.CreateDirectory(pass.CapturesFolder);
        demo.PlayThroughMachine(pass.SendPath, Path.Combine(pass.CapturesFolder, "side A.wav"), progress.Part(0.2, 0.55), cancellation);
        passes.Tell();
        return returns.BringIn(pass, progress.Part(0.55, 1), cancellation);
    }
}
