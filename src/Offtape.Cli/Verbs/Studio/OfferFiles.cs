using Offtape.Base;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Studio;

/// <summary>Offers out of files, CSV or JSON by their ending, and typed in.</summary>
internal static class OfferFiles
{
    public static IReadOnlyList<Offer> Read(
        IReadOnlyList<string> files,
        IReadOnlyList<string> typed,
        IReadOnlyList<PartType> parts,
        Desk desk
    )
    {
        var notices = new List<Notice>();
        var offers = files
            .SelectMany(f =>
                Path.GetExtension(f).Equals(".json", StringComparison.OrdinalIgnoreCase)
                    ? OfferJson.Read(f, parts)
                    : OfferTable.Read(f, parts, notices)
            )
            .Concat(typed.Select(t => OfferTable.Typed(t, parts)))
            .ToArray();
        foreach (var notice in notices)
            desk.Tell(notice);
        return offers;
    }
}
