using Offtape.Base;
using Offtape.Passes;
using Offtape.Web.Jobs;
using Offtape.Web.Logging;
using Offtape.Web.Serving;
using Offtape.Web.Sounds;

namespace Offtape.Web.Printing;

/// <summary>Makes the sends of passes: asks the job for what the plan says, in the background.</summary>
public sealed class SendDesk(PassBook passes, JobDesk jobs, SoundBook sounds, LogDesk log)
{
    /// <summary>What a plan asks of the send.</summary>
    public SendRequest Request(PassFolder pass)
    {
        var plan = pass.Plan;
        var sources = pass.Sources().Where(f => sounds.Facts(f).Trouble is null).ToList();
        return new SendRequest
        {
            Sources = sources,
            TargetFolder = pass.Folder,
            LevelDbfs = plan.LevelDbfs,
            LevelEach = plan.LevelEach,
            Layout = plan.Layout,
            LineUp = plan.LineUp,
            StripeTrack = plan.StripeTrack,
            SpeedCmPerSecond = plan.SpeedCmPerSecond,
            SideMinutes = plan.SideMinutes,
            Tracks =
            [
                .. sources
                    .Where(f => plan.Tracks.ContainsKey(Path.GetFileName(f)))
                    .Select(f =>
                    {
                        var first = plan.Tracks[Path.GetFileName(f)];
                        return new TrackAssignment(first, first + Math.Max(1, sounds.Facts(f).ChannelCount) - 1, f);
                    }),
            ],
            Run = plan.Machine.Length + plan.Tape.Length > 0 ? Run(plan) : null,
            MadeAt = DateTime.UtcNow,
            Force = true,
        };
    }

    // Side and start are of a tape: without one they say nothing.
    private static SheetRun Run(PassPlan plan)
    {
        var run = new SheetRun { Machine = Said(plan.Machine), Tape = Said(plan.Tape) };
        return run.Tape is null ? run : run with { Side = Said(plan.TapeSide), StartSeconds = plan.StartSeconds };
    }

    private static string? Said(string text) => string.IsNullOrWhiteSpace(text) ? null : text.Trim();

    /// <summary>How the send will lie on the side, from the heads of its sources alone; null where there is nothing to lay out, or the plan contradicts itself.</summary>
    /// <param name="pass">The pass.</param>
    /// <param name="trouble">Why not, in words; null: there are no sources.</param>
    public SendOutline? Outline(PassFolder pass, out string? trouble)
    {
        trouble = null;
        var request = Request(pass);
        if (request.Sources.Count == 0)
            return null;
        try
        {
            return SendOutline.Of(
                [.. request.Sources.Select(f => sounds.Facts(f)).Select(f => new OutlineSource(f.Name, f.FrameCount, f.SampleRateHz))],
                request
            );
        }
        catch (Fault fault)
        {
            trouble = Plainly.Say(fault);
            return null;
        }
    }

    /// <summary>Begins to make a send.</summary>
    public Job Begin(PassFolder pass) =>
        jobs.Begin(
            JobKind.Send,
            pass.Plan.Id,
            $"making the send of {pass.Plan.Name}",
            (progress, cancellation) => Make(passes.Find(pass.Plan.Id) ?? pass, progress, cancellation)
        );

    /// <summary>Makes a send now.</summary>
    /// <returns>How it went, in words.</returns>
    internal string Make(PassFolder pass, JobProgress progress, CancellationToken cancellation)
    {
        var result = SendJob.Run(Request(pass), progress, cancellation);
        // A new send is a new run.
        if (result.Written)
            passes.Change(pass.Plan.Id, p => p with { Ticked = [] });
        passes.Tell();
        var words = result.Notices.Select(n => n.Text).ToList();
        if (result.Written)
            words.Insert(
                0,
                $"The send is made: {Words.Count(result.Sheet.Items.Count, "sound")}, {Words.Clock(result.Sheet.LengthSeconds)}."
            );
        else
            words.Insert(0, "The send was not made: it does not fit the side.");
        return string.Join(" ", words) + (result.Written ? log.Note(l => l.Send(result.SheetPath!, cancellation)) : "");
    }
}
