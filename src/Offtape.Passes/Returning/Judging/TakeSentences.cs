using Offtape.Base;
using Offtape.Passes.Finding;
using Offtape.Passes.Following;
using Offtape.Passes.Inputs;
using Offtape.Passes.Writing;

namespace Offtape.Passes.Judging;

/// <summary>One plain sentence for each take.</summary>
internal static class TakeSentences
{
    internal static string Found(TakePlan plan, TakeReading reading, IReadOnlyList<ReturnWarning> warnings)
    {
        var speed = Words.Signed(Conversions.RatioToPercent(reading.SpeedRatio), 2);
        var wobble = reading.WobblePeakCents is { } cents ? $", wobble {Words.Number(cents, 0)} cents" : "";
        var channel = plan.Take.Capture.Recording.Format.ChannelCount > plan.Channels.Channels.Length ? ChannelWords(plan) : "";
        var sentence =
            $"{plan.SourceName}: found at {Words.Clock(reading.StartCaptureSeconds)} of {plan.Take.Capture.Recording.Name}{channel}, speed {speed} %{wobble}.";
        return warnings.Count == 0 ? sentence : sentence + " " + string.Join(" ", warnings.Select(w => w.Text));
    }

    private static string ChannelWords(TakePlan plan)
    {
        var used = plan.Channels.Channels.Select(c => c.CaptureChannel + 1).Order().Distinct().ToArray();
        return used.Length == 1 ? $", channel {used[0]}" : $", channels {Words.List([.. used.Select(u => u.ToString())])}";
    }

    internal static string Ambiguous(string name, IReadOnlyList<FollowedTake> places) =>
        $"{name}: fits equally well at {Words.List([.. places.Select(p => Words.Clock(p.StartCaptureSeconds)).Distinct()])} of {places[0].Capture.Recording.Name}. Listen, and cut the capture so that one is left; or print it with slates.";

    internal static string NotFound(
        string name,
        SourceSound source,
        IReadOnlyList<CaptureSound> captures,
        ReturnFindings found,
        IReadOnlyList<PassInput> passes,
        List<ReturnWarning> warnings
    )
    {
        if (source.IsSilent)
            return $"{name}: is silent, so it cannot be found.";
        var input = passes.FirstOrDefault(p => p.Sounds.Contains(source));
        if (input is not null)
        {
            var item = input.Sheet.Items[Array.IndexOf(input.Sounds, source)];
            foreach (var pass in found.Passes.Where(p => p.Sheet == input.Sheet))
            {
                var at = pass.CaptureAt(pass.IsReversed ? item.StartSeconds + item.SendLengthSeconds : item.StartSeconds);
                var capture = captures[pass.CaptureIndex];
                if (at > capture.LengthSeconds - 0.05)
                {
                    var text =
                        $"{name}: not in {capture.Recording.Name}, which ends {Words.Duration(at - capture.LengthSeconds)} before it. Record the rest, or print it again.";
                    warnings.Add(new ReturnWarning(WarningCode.ShortCapture, text));
                    return text;
                }
                var level = capture.Levels.Max(l => Enumerable.Range(0, 40).Max(i => l.DbAt(at + i * 0.05)));
                if (level < capture.Levels.Max(l => l.PeakDb) - 45)
                {
                    var text =
                        $"{name}: not in {capture.Recording.Name}: the tape was silent or had ended where it should be, at {Words.Clock(at)}. Print it again.";
                    warnings.Add(new ReturnWarning(WarningCode.TapeEnded, text));
                    return text;
                }
                return $"{name}: not found at its place, {Words.Clock(at)} of {capture.Recording.Name}; something else is heard there.";
            }
        }
        return captures.All(c => c.IsSilent)
            ? $"{name}: not found; {(captures.Count == 1 ? "the capture is" : "the captures are")} silent. Check the machine's output and the interface's input."
            : $"{name}: not found in {Words.Count(captures.Count, "capture")}.";
    }
}
