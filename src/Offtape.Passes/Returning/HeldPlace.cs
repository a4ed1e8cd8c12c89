namespace Offtape.Passes;

/// <summary>A place that a person has set: there the sound is looked for, and nowhere else in that capture.</summary>
/// <param name="Source">File name of the source, as the sheet has it.</param>
/// <param name="Capture">The capture's file.</param>
/// <param name="CaptureStartSeconds">Where in it the source's first frame is heard.</param>
public sealed record HeldPlace(string Source, string Capture, double CaptureStartSeconds);
