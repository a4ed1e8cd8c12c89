namespace Offtape.Web.Levelling;

/// <summary>A sound of the studio that can be chosen.</summary>
/// <param name="Id">Under which the browser knows it.</param>
/// <param name="Name">File name.</param>
/// <param name="Pass">The pass it belongs to.</param>
public sealed record SoundChoice(string Id, string Name, string Pass);
