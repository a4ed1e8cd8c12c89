using Offtape.Base;

namespace Offtape.Simulator;

/// <summary>
/// What stands on the tape: the send of every track in units of operating level, through record amplifier, tape and the losses of both heads,
/// with its neighbours' leakage. Kept in send time; losses belong to wavelengths on tape, so a replay at another speed moves them in pitch.
/// </summary>
internal sealed class Recording
{
    // Room for the filters to ring on before the first frame and after the last.
    internal const int MarginFrames = 8192;

    internal Recording(MachineModel model, float[][] sendChannels, int sampleRateHz)
    {
        SampleRateHz = sampleRateHz;
        Tracks = new float[sendChannels.Length][];
        var gain = 1 / Conversions.DbToAmplitude(model.SendOperatingLevelDbfs);
        Parallel.For(0, Tracks.Length, c => Tracks[c] = Record(model, sendChannels[c], sampleRateHz, (float)gain));
        if (Tracks.Length > 1 && !double.IsNegativeInfinity(model.Tracks.CrosstalkDb))
            Leak((float)Conversions.DbToAmplitude(model.Tracks.CrosstalkDb));
    }

    internal int SampleRateHz { get; }

    /// <summary>One array for each track; the send's frame 0 is at <see cref="MarginFrames"/>.</summary>
    internal float[][] Tracks { get; }

    private static float[] Record(MachineModel model, float[] send, int sampleRateHz, float gain)
    {
        var track = new float[send.Length + 2 * MarginFrames];
        for (var i = 0; i < send.Length; i++)
            track[i + MarginFrames] = gain * send[i];
        FirDesign.Make(f => ResponseCurve.MagnitudeAt(model.Sound, f), sampleRateHz, model.Sound.MinimumPhase).Apply(track, track);
        return track;
    }

    private void Leak(float amount)
    {
        var here = new float[Tracks.Length];
        for (var i = 0; i < Tracks[0].Length; i++)
        {
            for (var c = 0; c < Tracks.Length; c++)
                here[c] = Tracks[c][i];
            for (var c = 0; c < Tracks.Length; c++)
                Tracks[c][i] += amount * ((c > 0 ? here[c - 1] : 0) + (c + 1 < here.Length ? here[c + 1] : 0));
        }
    }
}
