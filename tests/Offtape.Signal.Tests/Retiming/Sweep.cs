namespace Offtape.Signal.Tests.Retiming;

/// <summary>
/// A sine whose frequency rises in a straight line, as a formula of time in frames: the truth that a retimed signal is compared with.
/// </summary>
/// <param name="StartFrame">Where the frequency is 0; the sweep runs backwards before it.</param>
/// <param name="NyquistsPerFrame">How fast the frequency rises, in shares of the Nyquist frequency a frame.</param>
internal readonly record struct Sweep(double StartFrame, double NyquistsPerFrame)
{
    /// <summary>A sweep that passes from one frequency to another (shares of Nyquist) between two frames.</summary>
    public static Sweep Between(double fromFrame, double toFrame, double fromNyquists, double toNyquists)
    {
        var rate = (toNyquists - fromNyquists) / (toFrame - fromFrame);
        return new Sweep(fromFrame - fromNyquists / rate, rate);
    }

    public double At(double frame)
    {
        var t = frame - StartFrame;
        return Math.Sin(Math.PI * NyquistsPerFrame * t * t / 2);
    }

    public double NyquistsAt(double frame) => NyquistsPerFrame * (frame - StartFrame);

    public float[] Frames(long startFrame, int count)
    {
        var frames = new float[count];
        for (var i = 0; i < count; i++)
            frames[i] = (float)At(startFrame + i);
        return frames;
    }
}
