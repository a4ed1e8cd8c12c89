using Offtape.Base;
using Offtape.Simulator;

namespace Offtape.Perf.Bench;

/// <summary>The same machine without noise, wobble, wander and dropouts: what it makes of a tone's level is then read to the last digit.</summary>
internal static class CleanTwin
{
    internal static MachineModel Of(MachineModel model) =>
        model with
        {
            Transport = new TransportModel { HeadDistanceMm = model.Transport.HeadDistanceMm },
            Noise = new NoiseModel(),
            Tracks = model.Tracks with { InterChannelDelayMicroseconds = 0, DelayWanderMicroseconds = 0 },
            Dropouts = new DropoutModel(),
            RecordLevelControl = null,
        };

    /// <summary>The same of a trial's machine at 1 kHz.</summary>
    internal static double[] OperatingPeaks(BenchTrial trial) =>
        trial.Memo.Of("operating peaks", () => OperatingPeaks(trial.Model, trial.Capture.SampleRateHz, trial.Sheet.OperatingLevelDbfs));

    /// <summary>Peak, in the capture of each channel, of a tone that all tracks carry at operating level.</summary>
    internal static double[] OperatingPeaks(MachineModel model, int sampleRateHz, double operatingLevelDbfs, double frequencyHz = 1000)
    {
        var send = new float[model.TrackCount][];
        var peak = Conversions.DbToAmplitude(operatingLevelDbfs);
        for (var c = 0; c < send.Length; c++)
        {
            send[c] = new float[sampleRateHz];
            for (var i = 0; i < send[c].Length; i++)
                send[c][i] = (float)(peak * Math.Sin(2 * Math.PI * frequencyHz * i / sampleRateHz));
        }
        var run = new SimulatedMachine(Of(model), 1).Run(send, sampleRateHz, new RunOptions { LeadSeconds = 1, LeadScatterSeconds = 0 });
        return Array.ConvertAll(run.Channels, c => Peak(c.AsSpan((int)(1.4 * sampleRateHz), sampleRateHz / 5), frequencyHz / sampleRateHz));
    }

    // Whole cycles of the tone: the plain sums are those of a least-squares fit.
    private static double Peak(ReadOnlySpan<float> frames, double cyclesPerFrame)
    {
        var (re, im) = (0.0, 0.0);
        for (var i = 0; i < frames.Length; i++)
        {
            re += frames[i] * Math.Cos(2 * Math.PI * cyclesPerFrame * i);
            im += frames[i] * Math.Sin(2 * Math.PI * cyclesPerFrame * i);
        }
        return 2 * Math.Sqrt(re * re + im * im) / frames.Length;
    }
}
