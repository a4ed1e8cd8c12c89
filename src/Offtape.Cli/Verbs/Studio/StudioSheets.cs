using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Cli.Shell;
using Sheet = Offtape.Report.Sheet;

namespace Offtape.Cli.Verbs.Studio;

/// <summary>Writes a printed sheet: one SVG a page, and one PDF.</summary>
internal static class StudioSheets
{
    /// <param name="sheet">The sheet.</param>
    /// <param name="folder">Where it goes; made when it is not there.</param>
    /// <param name="name">What its files are called, without an ending.</param>
    /// <param name="desk">Tells what the fonts lack.</param>
    /// <returns>The files, in the order they were written.</returns>
    public static IReadOnlyList<string> Write(Sheet sheet, string folder, string name, Desk desk)
    {
        MakeFolder(folder);
        var pages = sheet.ToSvg();
        var files = new List<string>();
        for (var i = 0; i < pages.Count; i++)
        {
            files.Add(Path.Combine(folder, pages.Count == 1 ? $"{name}.svg" : $"{name}-{i + 1}.svg"));
            SafeFile.WriteText(files[^1], pages[i], desk.Force);
        }
        var fonts = Offtape.Report.ReportFonts.Find();
        foreach (var notice in fonts.Notices)
            desk.Tell(notice);
        files.Add(Path.Combine(folder, $"{name}.pdf"));
        SafeFile.WriteBytes(files[^1], sheet.ToPdf(fonts), desk.Force);
        return files;
    }

    public static void MakeFolder(string folder)
    {
        try
        {
            Directory.CreateDirectory(folder);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromOutputError(folder, error);
        }
    }
}
