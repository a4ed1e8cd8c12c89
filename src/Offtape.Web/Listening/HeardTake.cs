namespace Offtape.Web.Listening;

/// <summary>What can be heard of a take: the files' identifiers on the shelf, never their paths.</summary>
/// <param name="SourceId">The clean sound; null: it is not in the studio.</param>
/// <param name="TakeId">The take as it was retimed; null: that file is not there any more.</param>
/// <param name="Retiming">Which retiming that is.</param>
public sealed record HeardTake(string? SourceId, string? TakeId, string Retiming);
