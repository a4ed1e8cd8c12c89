namespace Offtape.Bench;

/// <summary>Whether a converter clipped within a stretch: flat tops at full scale, or at the highest value a capture has.</summary>
internal static class ClipCheck
{
    private const float FullScale = 0.9998f;

    // Above this the capture holds values beyond full scale, as a float recorder does: they are not clipped there.
    private const float BeyondFullScale = 1.0002f;
    private const int ShortestRun = 3;

    // A flat top under full scale was made before the file was: by a gain after the converter, or a format that clips elsewhere.
    private const float LowestTop = 0.25f;
    private const int ShortestTopRun = 4;
    private const int FewestTops = 3;

    internal static bool IsClipped(ReadOnlySpan<float> sound)
    {
        var top = 0f;
        foreach (var value in sound)
            top = Math.Max(top, Math.Abs(value));
        if (top < LowestTop)
            return false;
        return top is >= FullScale and <= BeyondFullScale
            ? Runs(sound, FullScale, ShortestRun) > 0
            : Runs(sound, top * (1 - 1e-6f), ShortestTopRun) >= FewestTops;
    }

    // Of one sign: a square wave's way from top to bottom is two of them.
    private static int Runs(ReadOnlySpan<float> sound, float limit, int shortestRun)
    {
        var (runs, length, sign) = (0, 0, 0);
        foreach (var value in sound)
        {
            var now =
                value >= limit ? 1
                : value <= -limit ? -1
                : 0;
            length =
                now == 0 ? 0
                : now == sign ? length + 1
                : 1;
            sign = now;
            if (length == shortestRun)
                runs++;
        }
        return runs;
    }
}
