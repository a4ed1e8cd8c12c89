using Offtape.Signal;

namespace Offtape.Passes.Mapping;

/// <summary>The map of a section at every sample of the source: by its own spline, or by the guide and a spline of the lag against it.</summary>
internal sealed class SectionTime
{
    // A guide bends over milliseconds: read every millisecond, a straight line between.
    private const int StrideFrames = 24;

    private readonly EvenSpline _spline;
    private readonly double[]? _guide;
    private readonly int _hopFrames;

    private SectionTime(EvenSpline spline, double[]? guide, int hopFrames) => (_spline, _guide, _hopFrames) = (spline, guide, hopFrames);

    internal static SectionTime Of(MapGrid grid, MapSection section)
    {
        if (section.Guide is not { } guide)
            return new SectionTime(grid.MapSpline(), null, grid.Sweep.HopFrames);
        var values = new double[section.Source.Length / StrideFrames + 2];
        for (var i = 0; i < values.Length; i++)
            values[i] = guide.CaptureAt(section.SourceStart + i * StrideFrames / MapSection.RateHz);
        var lag = new double[grid.FrameCount];
        for (var k = 0; k < lag.Length; k++)
            lag[k] = grid.Map[k] - grid.Straight[k];
        return new SectionTime(new EvenSpline(lag), values, grid.Sweep.HopFrames);
    }

    /// <summary>Capture seconds at a sample of the section.</summary>
    internal double At(int sample)
    {
        var value = _spline.At((double)sample / _hopFrames);
        if (_guide is null)
            return value;
        var (i, f) = (sample / StrideFrames, (double)(sample % StrideFrames) / StrideFrames);
        return value + _guide[i] + f * (_guide[i + 1] - _guide[i]);
    }
}
