namespace Offtape.Simulator;

/// <summary>A law from field to magnetisation, sample after sample; a struct that carries its own memory.</summary>
internal interface ITapeCurve
{
    double Next(double input);
}
