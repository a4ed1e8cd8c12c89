using Offtape.Base;
using Offtape.Bench;
using Offtape.Studio;
using Offtape.Web.Benching;
using Offtape.Web.Folders;
using Offtape.Web.Logging;
using Offtape.Web.Printing;
using Offtape.Web.Uploads;
using StudioFolder = Offtape.Web.Folders.StudioFolder;

namespace Offtape.Web.Levelling;

/// <summary>How loud to send a sound of the studio, or one that is shown to the app, to a machine of which there is a report.</summary>
public sealed class LevelDesk(StudioFolder studio, FileShelf files, PassBook passes, BenchBook benches, LogReader log, LookDesk desk)
{
    /// <summary>Reports of the studio, the latest first: of sittings in the app, and others that the log has.</summary>
    public IReadOnlyList<ReportChoice> Reports()
    {
        var found = new List<(string Path, string Words, string Day)>();
        foreach (var sitting in benches.All.Where(b => File.Exists(b.ReportPath)))
            found.Add((sitting.ReportPath, Join(sitting.Plan.Name, sitting.Plan.How), $"{sitting.Plan.MadeAt:yyyy-MM-dd}"));
        foreach (var (path, words, day) in Logged())
            if (found.All(f => f.Path != path))
                found.Add((path, words, day));
        return
        [
            .. found
                .Where(f => studio.Holds(f.Path))
                .OrderByDescending(f => f.Day, StringComparer.Ordinal)
                .Select(f => new ReportChoice(files.IdOf(f.Path), f.Words)),
        ];
    }

    /// <summary>Clean sounds of the passes, the latest pass first.</summary>
    public IReadOnlyList<SoundChoice> Sounds() =>
        [
            .. passes.All.SelectMany(pass =>
            {
                var sheet = pass.Sheet();
                var other = sheet?.Items.Select(i => pass.SourceFile(i.Source, sheet)).OfType<string>() ?? [];
                return pass.Sources()
                    .Concat(other)
                    .Distinct()
                    .Select(f => new SoundChoice(files.IdOf(f), Path.GetFileName(f), pass.Plan.Name));
            }),
        ];

    /// <summary>A report that was chosen.</summary>
    /// <exception cref="Fault">It is not there any more, or cannot be read.</exception>
    public BenchReport Report(string id) =>
        BenchReport.Load(files.PathOf(id) ?? throw Fault.Usage("That report is not there any more", "Choose another."));

    /// <summary>Measures a sound of the studio.</summary>
    /// <exception cref="Fault">It is not there any more, cannot be read, or is silent.</exception>
    public Task<SoundProfile> Measure(string id, Action<double> progress, CancellationToken cancellation)
    {
        var path = files.PathOf(id) ?? throw Fault.Usage("That sound is not there any more", "Choose another.");
        return Task.Run(() => SoundMeter.Of(path, JobProgress.To(s => progress(s.Fraction)), cancellation), cancellation);
    }

    /// <summary>Measures a sound that is shown to the app and not kept.</summary>
    /// <exception cref="Fault">No room, not all of it came, it cannot be read, or it is silent.</exception>
    public async Task<SoundProfile> Measure(
        string name,
        long byteCount,
        Stream content,
        Action<double> progress,
        CancellationToken cancellation
    )
    {
        var found = await desk.Look(
            name,
            byteCount,
            content,
            "offtape levels FILE --bench DIR",
            (path, stop) => SoundMeter.Of(path, JobProgress.None, stop),
            progress,
            cancellation
        );
        return found with { Name = name };
    }

    private IEnumerable<(string Path, string Words, string Day)> Logged()
    {
        IReadOnlyList<MachineView> machines;
        try
        {
            machines = log.Read<IReadOnlyList<MachineView>>([], s => new MachineBook(s).All());
        }
        catch (Fault)
        {
            // The log tells of itself on its own page.
            yield break;
        }
        foreach (var machine in machines)
        foreach (var bench in machine.Benches)
            if (bench.Report is { } report && Path.GetFullPath(Path.Combine(studio.Root, report)) is var path && File.Exists(path))
                yield return (path, $"{machine.Machine.Name}, {LogWords.Day(bench.Day)}, {bench.How}", bench.Day);
    }

    private static string Join(string name, HowTaken? how) => how is { } taken ? $"{name}, {HowWords.Of(taken)}" : name;
}
