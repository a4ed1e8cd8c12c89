namespace Offtape.Web.Levelling;

/// <summary>A report of a machine that can be chosen.</summary>
/// <param name="Id">Under which the browser knows it.</param>
/// <param name="Words">Machine, day, and how it was taken.</param>
public sealed record ReportChoice(string Id, string Words);
