using Offtape.Passes;
using Offtape.Web.Printing;

namespace Offtape.Web.Bringing;

/// <summary>A take as the return screen shows it.</summary>
/// <param name="Key">Stays the same when the pass is brought back again.</param>
/// <param name="Take">What return.json says of it.</param>
/// <param name="Folder">The folder its files are named from.</param>
/// <param name="Number">1, 2, … among the tries of its source.</param>
/// <param name="Mark">What was decided of it; null: nothing yet.</param>
public sealed record TakeView(string Key, ReturnTake Take, string Folder, int Number, TakeMark? Mark)
{
    public string SoundName => Path.GetFileNameWithoutExtension(Take.Source);

    public string CaptureName => Path.GetFileName(Take.Capture ?? "");

    /// <summary>The file of one retiming, if it was made, is still there and lies in the studio.</summary>
    internal string? FileOf(string retiming, PassFolder pass)
    {
        if (!Take.Files.TryGetValue(retiming, out var name))
            return null;
        var path = Path.GetFullPath(Path.Combine(Folder, name));
        return File.Exists(path) && pass.Studio.Holds(path) ? path : null;
    }

    internal static string KeyOf(ReturnTake take) => $"{take.Source}|{Path.GetFileName(take.Capture ?? "")}|{take.CaptureStartSeconds:F1}";
}
