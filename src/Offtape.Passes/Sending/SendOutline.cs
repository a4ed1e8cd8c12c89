using Offtape.Base;

namespace Offtape.Passes;

/// <summary>A source as an outline needs it.</summary>
/// <param name="Name">File name.</param>
/// <param name="FrameCount">In its own frames.</param>
/// <param name="SampleRateHz">Its own rate.</param>
public sealed record OutlineSource(string Name, long FrameCount, int SampleRateHz);

/// <summary>A stretch of a send, in its seconds.</summary>
/// <param name="Name">File name of the source; empty for what is no source.</param>
/// <param name="StartSeconds">From the send's first frame.</param>
/// <param name="LengthSeconds">In the send.</param>
public sealed record OutlineStretch(string Name, double StartSeconds, double LengthSeconds);

/// <summary>
/// How a send will lie on its side, told before it is made, from the lengths of its sources alone. Nothing is read: silent sources, which the
/// send leaves out, still have their place here.
/// </summary>
/// <param name="Items">One a source, in order.</param>
/// <param name="Slates">Head, gaps and tail.</param>
/// <param name="Tone">The line-up tone; null without.</param>
/// <param name="LengthSeconds">Of the whole send.</param>
/// <param name="Side">Whether it fits, with both margins.</param>
public sealed record SendOutline(
    IReadOnlyList<OutlineStretch> Items,
    IReadOnlyList<OutlineStretch> Slates,
    OutlineStretch? Tone,
    double LengthSeconds,
    SidePlan Side
)
{
    /// <param name="sources">At least one, in order; those the request names are not looked at.</param>
    /// <param name="request">As the send will be asked for.</param>
    /// <exception cref="Fault">Usage: the request contradicts itself.</exception>
    public static SendOutline Of(IReadOnlyList<OutlineSource> sources, SendRequest request)
    {
        ArgumentOutOfRangeException.ThrowIfZero(sources.Count);
        RequestCheck.Check(request);
        var rate = request.SampleRateHz ?? sources.Max(s => s.SampleRateHz);
        RequestCheck.CheckSlateRate(request, rate);
        long[] frames =
        [
            .. sources.Select(s => SendPlan.SendFrames(s.FrameCount, SendPlan.StepFrames(s.SampleRateHz, rate, request.PrintRatio))),
        ];
        var time = TimePlan.Make(frames, request, rate);
        OutlineStretch Told(string name, Stretch stretch) =>
            new(name, Conversions.FramesToSeconds(stretch.StartFrame, rate), Conversions.FramesToSeconds(stretch.FrameCount, rate));
        return new SendOutline(
            [.. time.Items.Select((s, i) => Told(sources[i].Name, s))],
            [.. time.Slates.Select(s => Told("", s.Stretch))],
            time.Tone is { } tone ? Told("", tone) : null,
            time.Seconds(rate),
            SidePlanner.Plan([.. sources.Select(s => s.Name)], frames, request, rate)
        );
    }
}
