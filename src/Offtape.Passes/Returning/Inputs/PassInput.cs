using Offtape.Passes.Finding;

namespace Offtape.Passes.Inputs;

/// <summary>A sheet that a return is given, with the sounds of its items.</summary>
internal sealed record PassInput(string Path, PassSheet Sheet, SourceSound[] Sounds);
