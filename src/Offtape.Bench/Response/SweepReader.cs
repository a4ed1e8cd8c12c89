using System.Numerics;
using Offtape.Base;
using Offtape.Signal;

namespace Offtape.Bench;

/// <summary>
/// Reads sweeps of one shape: the wobble is followed by the sweep's own phase and taken out by the retimer, the sweep is divided out, and the
/// responses of fundamental and harmonics are cut out by their arrival. Holds tables of the sweep; one per thread.
/// </summary>
internal sealed class SweepReader
{
    // What is rendered before the sweep and after it; sheets leave a second between parts.
    private const double LeadSeconds = 0.1;
    private const double TailSeconds = 0.97;

    // How far off the clock the sweep may be heard.
    private const double ReachSeconds = 0.06;

    // Where a pulse is looked for first: about where following begins.
    private const double ArrivalFromHz = 100;
    private const double ArrivalToHz = 900;

    // A share of the rate that the retimer passes whole, and shares of the sweep's range that its ends leave true.
    private const double UsableShareOfRate = 0.45;
    private const double FirstShare = 1.1;
    private const double LastShare = 0.97;

    // A twenty-fourth of an octave as a share of the frequency; the window is twice as wide as the rectangle of the same noise.
    private const double FineShare = 0.0288;
    private const double WindowOverRectangle = 2.0;

    // Where there is nothing but noise, and the least width whose window is short enough to fit between.
    private static readonly double[] NoiseArrivalsSeconds = [0.3, 0.45, 0.6, 0.75];
    private const double NoiseWidthHz = 32;

    // The simplest positions are straight between points so far apart.
    private const int PositionStep = 16;

    private readonly int _rate;
    private readonly SweepFollower _follower;
    private readonly SweepDeconvolver _deconvolver;
    private readonly float[] _received;
    private readonly double[] _positions;
    private readonly double _lastHz;

    /// <param name="part">A sweep; others of its shape and any level can be read as well.</param>
    /// <param name="operatingLevelDbfs">Of the sheet.</param>
    /// <param name="sampleRateHz">Of the capture.</param>
    internal SweepReader(BenchPart part, double operatingLevelDbfs, int sampleRateHz)
    {
        _rate = sampleRateHz;
        var sweep = PartSound.SweepOf(part);
        _lastHz = Math.Min(sweep.EndHz, UsableShareOfRate * sampleRateHz);
        var sent = Sent(part, sweep, operatingLevelDbfs);
        _follower = new SweepFollower(sweep, sampleRateHz);
        _received = new float[(int)((LeadSeconds + sweep.DurationSeconds + TailSeconds) * sampleRateHz)];
        _positions = new double[_received.Length];
        _deconvolver = new SweepDeconvolver(sweep, sent, sampleRateHz, _received.Length);
        Hz = BandGrid.Between(FirstShare * sweep.StartHz, LastShare * _lastHz);
    }

    private int LeadFrames => (int)(LeadSeconds * _rate);

    internal double[] Hz { get; }

    /// <summary>Reads one channel of one sweep of the shape that this reader was made for, whatever its level.</summary>
    internal SweepReading Read(BenchCapture capture, BenchPart part, int channel)
    {
        Render(capture, part, channel, 0, []);
        var arrival = _deconvolver.FindArrival(_deconvolver.Deconvolve(_received, LeadFrames), ReachSeconds, ArrivalFromHz, ArrivalToHz);
        var lateFrames = (int)Math.Round(arrival * _rate);
        var (lateness, isHeard) = _follower.Follow(_received, LeadFrames + lateFrames);
        Render(capture, part, channel, (double)lateFrames / _rate, lateness);
        var spectrum = _deconvolver.Deconvolve(_received, LeadFrames);
        // The reference has operating level: the part's own is taken off here.
        return Cut(spectrum, part, channel) with
        {
            LatenessSeconds = Array.ConvertAll(Hz, hz => (double)lateFrames / _rate + lateness[Block(hz)]),
            IsFollowed = Array.ConvertAll(Hz, hz => IsFollowed(isHeard, hz)),
        };
    }

    // A sweep that goes higher than this capture can hold ends early, softly.
    private float[] Sent(BenchPart part, SynchronisedSweep sweep, double operatingLevelDbfs)
    {
        var sent = new float[(int)Math.Ceiling(sweep.DurationSeconds * _rate)];
        PartSound.Add(part with { LevelDb = 0 }, operatingLevelDbfs, 0, _rate, sent);
        var endFrame = (int)(sweep.TimeSeconds(Math.Min(1.04 * _lastHz, sweep.EndHz)) * _rate);
        var fade = _rate / 100;
        for (var i = 0; _lastHz < sweep.EndHz && i < sent.Length; i++)
            sent[i] *= (float)Math.Clamp((double)(endFrame - i) / fade, 0, 1);
        return sent;
    }

    /// <summary>Fills the scratch with the part in send time, each moment read where it is heard.</summary>
    private void Render(BenchCapture capture, BenchPart part, int channel, double lateSeconds, double[] lateness)
    {
        var clock = new StraightClock(capture.Clock);
        var step = _follower.StepSeconds;
        double Late(double seconds)
        {
            if (lateness.Length == 0)
                return lateSeconds;
            var place = Math.Clamp(seconds / step - 0.5, 0, lateness.Length - 1.000001);
            var k = (int)place;
            return lateSeconds + lateness[k] + (place - k) * (lateness[k + 1] - lateness[k]);
        }
        double Position(int frame)
        {
            var seconds = (double)(frame - LeadFrames) / _rate;
            // Lateness is known by when it is heard: three rounds find it, as it changes by a hundredth of the time that passes at most.
            var late = Late(seconds);
            for (var i = 0; i < 3; i++)
                late = Late(seconds + late - lateSeconds);
            return clock.CaptureAt(part.StartSeconds + seconds + late) * _rate;
        }
        var largest = 0.0;
        for (var from = 0; from < _positions.Length; from += PositionStep)
        {
            var (a, b) = (Position(from), Position(from + PositionStep));
            largest = Math.Max(largest, Math.Abs(b - a) / PositionStep);
            for (var i = 0; i < PositionStep && from + i < _positions.Length; i++)
                _positions[from + i] = a + (b - a) * i / PositionStep;
        }
        var (low, high) = (Math.Min(_positions[0], _positions[^1]), Math.Max(_positions[0], _positions[^1]));
        var first = (int)Math.Clamp(low - 1000, 0, capture.FrameCount);
        var last = (int)Math.Clamp(high + 1000, first, capture.FrameCount);
        Retimer.Render(
            capture.Channel(channel)[first..last],
            first,
            _positions,
            Retimer.BandwidthForStep(Math.Max(largest, 1e-3)),
            _received
        );
    }

    private SweepReading Cut(SweepSpectrum spectrum, BenchPart part, int channel)
    {
        var level = Conversions.DbToAmplitude(part.LevelDb);
        var noisePerHz = NoisePerHz(spectrum, level);
        var (harmonics, noise, width) = (
            new Complex[SweepReading.HarmonicCount][],
            new double[SweepReading.HarmonicCount][],
            new double[SweepReading.HarmonicCount][]
        );
        for (var order = 1; order <= SweepReading.HarmonicCount; order++)
        {
            var (values, powers, widths) = (new Complex[Hz.Length], new double[Hz.Length], new double[Hz.Length]);
            for (var k = 0; k < Hz.Length; k++)
            {
                var outputHz = order * Hz[k];
                if (outputHz > LastShare * _lastHz)
                {
                    (values[k], powers[k], widths[k]) = (new Complex(double.NaN, double.NaN), double.NaN, double.NaN);
                    continue;
                }
                var widthHz = Math.Max(spectrum.NarrowestHz(order), WindowOverRectangle * FineShare * outputHz);
                values[k] = spectrum.Harmonic(order, outputHz, widthHz) / level;
                widths[k] = widthHz / WindowOverRectangle;
                powers[k] = noisePerHz[BandGrid.Nearest(Hz, outputHz)] / widths[k];
            }
            (harmonics[order - 1], noise[order - 1], width[order - 1]) = (values, powers, widths);
        }
        return new SweepReading
        {
            Part = part,
            Channel = channel,
            Hz = Hz,
            Harmonics = harmonics,
            NoisePower = noise,
            WidthHz = width,
        };
    }

    private int Block(double frequencyHz) =>
        Math.Clamp((int)(_follower.Sweep.TimeSeconds(frequencyHz) / _follower.StepSeconds), 0, _follower.StepCount - 1);

    // All the way through its own twenty-fourth of an octave, and the window's flanks; below where following begins there is nothing to lose.
    private bool IsFollowed(bool[] isHeard, double frequencyHz)
    {
        if (frequencyHz < 1.1 * _follower.FromHz)
            return true;
        var (from, to) = (Block(frequencyHz * (1 - 1.5 * FineShare)), Block(frequencyHz * (1 + 1.5 * FineShare)));
        return !isHeard.AsSpan(from, to - from + 1).Contains(false);
    }

    // Noise times the width it was averaged over, about each frequency: from stretches of time where no response is, over a third of an octave.
    private double[] NoisePerHz(SweepSpectrum spectrum, double level)
    {
        var power = new double[Hz.Length];
        for (var k = 0; k < Hz.Length; k++)
        {
            var widthHz = Math.Max(NoiseWidthHz, WindowOverRectangle * FineShare * Hz[k]);
            foreach (var arrival in NoiseArrivalsSeconds)
            {
                var value = spectrum.Cut(arrival, Hz[k], widthHz).Magnitude / level;
                power[k] += value * value * widthHz / WindowOverRectangle / NoiseArrivalsSeconds.Length;
            }
        }
        var smooth = new double[Hz.Length];
        for (var k = 0; k < Hz.Length; k++)
        {
            var (from, to) = (Math.Max(0, k - BandGrid.HalfThird), Math.Min(Hz.Length - 1, k + BandGrid.HalfThird));
            for (var i = from; i <= to; i++)
                smooth[k] += power[i] / (to - from + 1);
        }
        return smooth;
    }
}
