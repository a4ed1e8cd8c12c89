using System.Globalization;
using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Passes;

/// <summary>The sheet that a plan amounts to.</summary>
internal static class SheetMaker
{
    internal static PassSheet Make(SendPlan plan, SidePlan side)
    {
        var request = plan.Request;
        double Seconds(long frames) => Conversions.FramesToSeconds(frames, plan.SampleRateHz);
        return new PassSheet
        {
            FormatVersion = PassSheet.CurrentFormatVersion,
            PassId = plan.PassId,
            SampleRateHz = plan.SampleRateHz,
            ChannelCount = plan.ChannelCount,
            PrintRatio = request.PrintRatio,
            Reversed = request.Reversed,
            SpeedCmPerSecond = request.SpeedCmPerSecond,
            Layout = request.Layout,
            Depth = request.Depth switch
            {
                SendDepth.Pcm16 => "16",
                SendDepth.Pcm24 => "24",
                _ => "32f",
            },
            LengthSeconds = Seconds(plan.Time.FrameCount),
            LevelDbfs = request.LevelDbfs,
            LevelEach = request.LevelEach,
            OperatingLevelDbfs = SendTiming.OperatingLevelDbfs,
            SlateLevelDbfs = SendTiming.SlateLevelDbfs,
            SlateFormatVersion = request.Slates ? Slate.FormatVersion : null,
            TapeMetres = side.TapeMetres,
            SideMinutes = request.SideMinutes,
            Run = request.Run,
            MadeAt = request.MadeAt is { } made ? Words.Moment(made) : null,
            Items = [.. plan.Items.Select((item, i) => Item(plan, item, i))],
            Slates =
            [
                .. plan.Time.Slates.Select(
                    (slate, number) =>
                        new SheetSlate
                        {
                            Kind = slate.Kind,
                            Number = SlateNumber(slate.Kind, number),
                            StartSeconds = Seconds(slate.Stretch.StartFrame),
                            LengthSeconds = Seconds(slate.Stretch.FrameCount),
                            Tracks = SlateTracks(plan, slate.Kind),
                        }
                ),
            ],
            Stripe = plan.Time.Stripe is { } stripe
                ? new SheetStripe
                {
                    FormatVersion = Stripe.FormatVersion,
                    Track = request.StripeTrack!.Value,
                    Seed = Stripe.SeedFor(Slate.ShortPassNumber(plan.PassId)).ToString("x16", CultureInfo.InvariantCulture),
                    StartSeconds = Seconds(stripe.StartFrame),
                    LengthSeconds = Seconds(stripe.FrameCount),
                    FadeSeconds = SendTiming.StripeFadeSeconds,
                    LevelDbfs = Stripe.DefaultLevelDbfs,
                }
                : null,
            LineUp = plan.Time.Tone is { } tone
                ? new SheetTone
                {
                    FrequencyHz = SendTiming.ToneHz(request.SpeedCmPerSecond),
                    LevelDbfs = SendTiming.OperatingLevelDbfs,
                    StartSeconds = Seconds(tone.StartFrame),
                    LengthSeconds = Seconds(tone.FrameCount),
                    Tracks = plan.UsedTracks,
                }
                : null,
        };
    }

    /// <summary>The way from the sheet to the file; null where there is none (another disk).</summary>
    private static string? RelativePath(string folder, string path)
    {
        var way = Path.GetRelativePath(Path.GetFullPath(folder), Path.GetFullPath(path));
        return Path.IsPathRooted(way) ? null : way.Replace('\\', '/');
    }

    private static SheetItem Item(SendPlan plan, PlannedItem item, int index)
    {
        var source = item.Source;
        bool SameName(PlannedItem other) => string.Equals(other.Source.Name, source.Name, StringComparison.OrdinalIgnoreCase);
        return new SheetItem
        {
            Source = source.Name,
            SourceNumber = plan.Items.Count(SameName) > 1 ? plan.Items.Take(index + 1).Count(SameName) : null,
            SourcePath = RelativePath(plan.Request.TargetFolder, source.Path),
            Sha256 = source.Sha256,
            StartSeconds = Conversions.FramesToSeconds(item.Stretch.StartFrame, plan.SampleRateHz),
            LengthSeconds = source.LengthSeconds,
            SendLengthSeconds = source.LengthSeconds * plan.Request.PrintRatio,
            GainDb = item.GainDb,
            PeakDbfs = Conversions.AmplitudeToDb(source.PeakLinear),
            Tracks = item.Tracks,
            SampleRateHz = source.SampleRateHz,
            ChannelCount = source.ChannelCount,
            FrameCount = source.FrameCount,
            TimeReferenceFrames = source.TimeReferenceFrames,
        };
    }

    /// <summary>The number a slate says: gap slates count to 31, head and tail slates to 15, then from 0 again.</summary>
    internal static int SlateNumber(SlateKind kind, int runningNumber) => runningNumber % (kind == SlateKind.Gap ? 32 : 16);

    /// <summary>Head and tail slates stand on every used track; a gap slate leaves out the stripe's, which goes on through it.</summary>
    internal static int[] SlateTracks(SendPlan plan, SlateKind kind) => kind == SlateKind.Gap ? plan.SoundTracks : plan.UsedTracks;
}
