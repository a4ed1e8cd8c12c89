using System.Text;
using Offtape.Base;
using Offtape.Report;

namespace Offtape.Studio;

/// <summary>The sheet of a closed job: as a page that stands alone, and as plain text.</summary>
internal static class JobSheet
{
    private const string NotSaid = "not said";

    public static HtmlPage Page(ClosedJob job, string footer)
    {
        var page = HtmlPage.Create(job.Name).Lead(Lead(job)).Footer(footer);
        foreach (var lacking in job.Lacking)
            page = page.Caution(CautionKind.Warn, "Lacking", lacking + ".");
        foreach (var pass in job.Passes)
        {
            page = page.Section($"Pass {pass.PassId}").Facts([.. Facts(pass)]);
            var files = job.Files.Where(f => f.PassId == pass.PassId).ToArray();
            foreach (var file in files.Where(f => f.Path.EndsWith(".wav", StringComparison.OrdinalIgnoreCase)))
                page = page.Audio($"{file.What}: {file.Path}", file.Path);
            var table = ReportTable.Create("Files").Words("file").Words("what").Figures("SHA-256, first 16 digits");
            foreach (var file in files)
                table = table.Row(file.Path, file.What, file.Sha256[..16]);
            page = page.Table(table);
        }
        return page;
    }

    public static string Text(ClosedJob job, string footer)
    {
        var text = new StringBuilder()
            .Append(job.Name)
            .Append('\n')
            .Append('=', job.Name.Length)
            .Append("\n\n")
            .Append(Lead(job))
            .Append('\n');
        foreach (var lacking in job.Lacking)
            text.Append($"Lacking: {lacking}.\n");
        foreach (var pass in job.Passes)
        {
            var heading = $"Pass {pass.PassId}";
            text.Append('\n').Append(heading).Append('\n').Append('-', heading.Length).Append('\n');
            foreach (var (name, value) in Facts(pass))
                text.Append($"{name, -16} {value}\n");
            text.Append('\n');
            foreach (var file in job.Files.Where(f => f.PassId == pass.PassId))
                text.Append($"{file.Path}\n    {file.What}\n    SHA-256 {file.Sha256}\n");
        }
        return text.Append(
                $"\nThe hash of every file stands in {JobCloser.HashesName}; \"sha256sum -c {JobCloser.HashesName}\" checks them all.\n{footer}\n"
            )
            .ToString();
    }

    private static string Lead(ClosedJob job) =>
        $"{Words.Count(job.Passes.Count, "pass", "passes")}, {Words.Count(job.Files.Count, "file")}. Everything here is plain audio and text; no program of ours is needed to use it.";

    private static IEnumerable<(string Name, string Value)> Facts(LoggedPass pass)
    {
        yield return ("day", pass.At[..10]);
        yield return ("sounds", Words.List(pass.Sources));
        yield return ("machine", pass.Machine ?? NotSaid);
        yield return ("tape", pass.Tape is null ? NotSaid : $"{pass.Tape}, side {pass.Side}");
        if (pass.TapeTracks.Count > 0)
            yield return ("tracks", string.Join(", ", pass.TapeTracks));
        yield return ("counter", pass.StartCounter is { } counter ? $"{counter:0.###}" : NotSaid);
        yield return ("from the start", pass.StartSeconds is { } start ? Words.Clock(start) : NotSaid);
        yield return ("speed", pass.SpeedCmPerSecond is { } speed ? $"{speed:0.####} cm/s" : NotSaid);
        yield return ("pitch control", pass.PitchPercent is { } pitch ? $"{Words.Signed(pitch, 2)} %" : NotSaid);
        yield return ("input level", pass.InputLevel ?? NotSaid);
        yield return ("noise reduction", pass.NoiseReduction ?? NotSaid);
        yield return ("tape type", pass.TapeType ?? NotSaid);
        yield return ("peak of the send", $"{Words.Number(pass.LevelDbfs, 1)} dBFS");
        yield return ("length", Words.Duration(pass.LengthSeconds));
        if (pass.Note.Length > 0)
            yield return ("note", pass.Note);
    }
}
