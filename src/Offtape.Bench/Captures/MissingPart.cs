namespace Offtape.Bench;

/// <summary>A part of the sheet that is not wholly in the capture.</summary>
/// <param name="Name">As on the sheet.</param>
/// <param name="Reason">Why, as the end of a sentence: "the capture ends before it".</param>
public sealed record MissingPart(string Name, string Reason);
