using Offtape.Base;
using Offtape.Signal;

namespace Offtape.Simulator;

/// <summary>
/// What stands on the tape: the send of every track in units of operating level, through record amplifier, tape and the losses of both heads,
/// with its neighbours' leakage. Kept in send time; losses belong to wavelengths on tape, so a replay at another speed moves them in pitch.
/// </summary>
internal sealed class Recording
{
    // Room for the filters to ring on before the first frame and after the last.
    internal const int MarginFrames = 8192;

    // A splice and the end of a tape do not cut like a switch: the head's contact comes and goes within this time.
    private const double EdgeSeconds = 0.01;

    private Recording(float[][] tracks, int sampleRateHz, int frameCount)
    {
        (Tracks, SampleRateHz) = (tracks, sampleRateHz);
        SendSeconds = Conversions.FramesToSeconds(frameCount, sampleRateHz);
    }

    internal int SampleRateHz { get; }

    internal double SendSeconds { get; }

    /// <summary>One array for each track; the send's frame 0 is at <see cref="MarginFrames"/>.</summary>
    internal float[][] Tracks { get; }

    internal static Recording Of(MachineModel model, RunOptions options, float[][] sendChannels, int sampleRateHz)
    {
        var frameCount = sendChannels[0].Length;
        var gain = (float)Conversions.DbToAmplitude(options.RecordGainDb - model.SendOperatingLevelDbfs);
        var tracks = new float[sendChannels.Length][];
        Parallel.For(0, tracks.Length, c => tracks[c] = WithMargins(sendChannels[c], gain));
        if (model.RecordLevelControl is { } control)
            LevelControl.Apply(control, tracks, 1, sampleRateHz);
        var recording = new Recording(tracks, sampleRateHz, frameCount);
        var response = new FirDesign(f => ResponseCurve.MagnitudeAt(model.Sound, f), sampleRateHz, model.Sound.MinimumPhase);
        Parallel.For(0, tracks.Length, c => recording.Magnetise(model, options, response, tracks[c]));
        if (tracks.Length > 1 && !double.IsNegativeInfinity(model.Tracks.CrosstalkDb))
            recording.Leak((float)Conversions.DbToAmplitude(model.Tracks.CrosstalkDb));
        return recording;
    }

    private static float[] WithMargins(float[] send, float gain)
    {
        var track = new float[send.Length + 2 * MarginFrames];
        for (var i = 0; i < send.Length; i++)
            track[i + MarginFrames] = gain * send[i];
        return track;
    }

    private void Magnetise(MachineModel model, RunOptions options, FirDesign response, float[] track)
    {
        var sound = model.Sound;
        if (sound.Curve != TapeCurve.Straight)
        {
            var lift = Emphasis(sound.RecordEmphasisMicroseconds);
            new Biquad(lift).Process(track, track);
            if (sound.Curve == TapeCurve.Saturating)
                Oversampled.Apply(track, SaturatingCurve.Of(sound));
            else
                Oversampled.Apply(track, HysteresisCurve.Of(sound));
            // The lift exactly undone: what was (b0 + b1·z⁻¹)/(1 + a1·z⁻¹) becomes its reciprocal.
            new Biquad(1 / lift.B0, lift.A1 / lift.B0, 0, lift.B1 / lift.B0, 0).Process(track, track);
        }
        FadeWhereThereIsNoTape(options, track);
        response.NewFilter().Apply(track, track);
    }

    private BiquadCoefficients Emphasis(double timeConstantMicroseconds)
    {
        // s in units of 1 kHz; the lift ends at 20 kHz or near the top of the band.
        const double unitHz = 1000;
        var end = unitHz / Math.Min(20_000, 0.42 * SampleRateHz);
        return BiquadCoefficients.Bilinear(
            1,
            2 * Math.PI * unitHz * timeConstantMicroseconds * 1e-6 + end,
            0,
            1,
            end,
            0,
            unitHz,
            SampleRateHz
        );
    }

    private void FadeWhereThereIsNoTape(RunOptions options, float[] track)
    {
        if (options.LeaderSeconds <= 0 && double.IsPositiveInfinity(options.TapeEndsSeconds))
            return;
        for (var i = 0; i < track.Length; i++)
        {
            var sendSeconds = (double)(i - MarginFrames) / SampleRateHz;
            var afterLeader = options.LeaderSeconds <= 0 ? 1 : (sendSeconds - options.LeaderSeconds) / EdgeSeconds;
            var beforeEnd = (options.TapeEndsSeconds - sendSeconds) / EdgeSeconds;
            track[i] *= (float)Math.Clamp(Math.Min(afterLeader, beforeEnd), 0, 1);
        }
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
