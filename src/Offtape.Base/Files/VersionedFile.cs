namespace Offtape.Base;

/// <summary>A kind of JSON file that carries its format's version.</summary>
/// <param name="What">What it is, with its article: "a pass sheet".</param>
/// <param name="NewestVersion">The latest version that is known, from 1 up.</param>
/// <param name="Advice">What to give instead, where a file is none.</param>
public readonly record struct VersionedFile(string What, int NewestVersion, string Advice);
