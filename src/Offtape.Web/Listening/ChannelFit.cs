namespace Offtape.Web.Listening;

/// <summary>One channel of a take against its source.</summary>
/// <param name="Gain">The take times this is nearest to the source, by least squares; below 0: turned over.</param>
/// <param name="DelayFrames">And this much later.</param>
/// <param name="UnderDb">How far what is left then lies under the source, in dB of power.</param>
/// <param name="LevelRatio">RMS of the take ÷ RMS of the source.</param>
/// <param name="Tone">What the tape did to the tone: by this filter, its middle tap at time 0, the source is nearest to the take.</param>
internal sealed record ChannelFit(double Gain, double DelayFrames, double UnderDb, double LevelRatio, float[] Tone);
