using Offtape.Base;

namespace Offtape.Bench;

/// <summary>A staircase as one channel heard it: what came out at each step, and with which harmonics.</summary>
internal sealed record StairsReading
{
    // What is left out at either end of a step: its fade, and how far the clock may be off.
    private const double EdgeSeconds = 0.035;

    // The level tone is read in stretches of about a step's length, its fades and as much again left out.
    private const double ToneEdgeSeconds = 0.1;
    private const double StretchSeconds = 0.6;

    // Where no tone tells how much a level changes: usual for a deck in order, common practice, no source.
    private const double UnknownSpreadDb = 0.05;
    private const double LeastSpreadDb = 0.0005;

    internal required int Channel { get; init; }

    internal required double FrequencyHz { get; init; }

    /// <summary>Peak that was sent, in dB against operating level, rising.</summary>
    internal required double[] SentDb { get; init; }

    internal required ToneReading[] Steps { get; init; }

    /// <summary>Output at each step in dB against that of a tone sent at operating level.</summary>
    internal required double[] OutputDb { get; init; }

    /// <summary>Standard uncertainty of <see cref="OutputDb"/>.</summary>
    internal required double[] OutputSigmaDb { get; init; }

    /// <summary>Peak of the output that counts as 0 dB, full scale = 1.</summary>
    internal required double ReferenceAmplitude { get; init; }

    /// <returns>Null where a step could not be read at all.</returns>
    internal static StairsReading? Of(BenchCapture capture, BenchPart part, int channel)
    {
        var stepSeconds = PartSound.StepSeconds(part);
        var (sent, steps) = (new List<double>(), new List<ToneReading>());
        for (var i = 0; i < part.StepLevelsDb.Count; i++)
        {
            var from = part.StartSeconds + i * stepSeconds;
            if (Read(capture, part, channel, from + EdgeSeconds, from + stepSeconds - EdgeSeconds) is not { } reading)
                return null;
            sent.Add(part.StepLevelsDb[i]);
            steps.Add(reading);
        }
        var reference = ReferenceFrom(capture, part.FrequencyHz!.Value, channel) ?? FromStep(sent, steps);
        if (reference is not { } found)
            return null;
        var (zero, spreadDb) = found;
        return new StairsReading
        {
            Channel = channel,
            FrequencyHz = part.FrequencyHz!.Value,
            SentDb = [.. sent],
            Steps = [.. steps],
            OutputDb = [.. steps.Select(s => Conversions.AmplitudeToDb(s.Amplitude / zero))],
            OutputSigmaDb = [.. steps.Select(s => double.Hypot(8.686 * s.AmplitudeSigma / s.Amplitude, spreadDb))],
            ReferenceAmplitude = zero,
        };
    }

    internal static ToneReading? Read(BenchCapture capture, BenchPart part, int channel, double fromSeconds, double toSeconds)
    {
        // Pitch of what is heard: seconds of the send that go by in a second of the capture.
        var middle = (fromSeconds + toSeconds) / 2;
        var heardHz = part.FrequencyHz!.Value / Math.Abs(new StraightClock(capture.Clock).RateAt(middle));
        return ToneReader.Read(capture.Stretch(channel, fromSeconds, toSeconds), capture.SampleRateHz, heardHz);
    }

    /// <summary>
    /// The tone that stands for operating level: of the same frequency where one was sent, else another, 1 kHz before 315 Hz. With it goes how
    /// much its level changes from one stretch of a step's length to another, as a standard deviation: the level of any step does as well.
    /// </summary>
    internal static (double Amplitude, double SpreadDb)? ReferenceFrom(BenchCapture capture, double frequencyHz, int channel)
    {
        var tone = capture
            .Of(BenchPartKind.LevelTone)
            .Where(t => !capture.Clipped.Contains(t.Name))
            .OrderBy(t => Math.Abs(Math.Log(t.FrequencyHz!.Value / frequencyHz)))
            .FirstOrDefault();
        if (tone is null)
            return null;
        var end = tone.StartSeconds + tone.LengthSeconds - ToneEdgeSeconds;
        var (levels, noise) = (new List<double>(), 0.0);
        for (var from = tone.StartSeconds + ToneEdgeSeconds; from + StretchSeconds <= end; from += StretchSeconds)
        {
            if (Read(capture, tone, channel, from, from + StretchSeconds) is { } reading)
            {
                levels.Add(Conversions.AmplitudeToDb(reading.Amplitude) - tone.LevelDb);
                noise += Math.Pow(8.686 * reading.AmplitudeSigma / reading.Amplitude, 2);
            }
        }
        if (levels.Count == 0)
            return null;
        // The middle one: a dropout that was not noticed does not count.
        levels.Sort();
        var middle = (levels[levels.Count / 2] + levels[(levels.Count - 1) / 2]) / 2;
        var spread = levels.Count < 3 ? UnknownSpreadDb : Math.Sqrt(levels.Sum(l => Math.Pow(l - middle, 2)) / (levels.Count - 1));
        // Noise makes them differ as well, and is counted where a step is read.
        spread = Math.Sqrt(Math.Max(0, spread * spread - noise / levels.Count));
        return (Conversions.DbToAmplitude(middle), Math.Max(spread, LeastSpreadDb));
    }

    private static (double Amplitude, double SpreadDb)? FromStep(List<double> sent, List<ToneReading> steps)
    {
        var zero = sent.IndexOf(0);
        return zero < 0 ? null : (steps[zero].Amplitude, UnknownSpreadDb);
    }
}
