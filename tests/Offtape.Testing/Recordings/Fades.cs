namespace Offtape.Testing;

/// <summary>Raised-cosine fades in place.</summary>
internal static class Fades
{
    public static void Out(Span<float> audio, int frameCount)
    {
        var count = Math.Min(frameCount, audio.Length);
        for (var i = 0; i < count; i++)
            audio[audio.Length - 1 - i] *= (float)(0.5 - 0.5 * Math.Cos(Math.PI * (i + 0.5) / count));
    }

    public static void In(Span<float> audio, int frameCount)
    {
        var count = Math.Min(frameCount, audio.Length);
        for (var i = 0; i < count; i++)
            audio[i] *= (float)(0.5 - 0.5 * Math.Cos(Math.PI * (i + 0.5) / count));
    }
}
