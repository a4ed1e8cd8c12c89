namespace Offtape.Signal;

/// <summary>A place at which a template fits.</summary>
/// <param name="StartFrame">Input frame at which the template begins.</param>
/// <param name="TemplateIndex">Which template of those looked for, from 0.</param>
/// <param name="Polarity">1 upright, −1 upside down (for a template with quadrature: the sign of its in-phase part).</param>
/// <param name="Correlation">Normalised correlation, 0 to 1: 1 where the input is the template and nothing else.</param>
/// <param name="GainLinear">How many times as large as the template.</param>
public readonly record struct TemplateMatch(long StartFrame, int TemplateIndex, int Polarity, double Correlation, double GainLinear);
