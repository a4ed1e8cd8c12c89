using Offtape.AudioFiles;
using Offtape.Passes;

namespace Offtape.Web.Tests.Listening;

/// <summary>A studio that holds a pass with takes already, written by hand: what they hold is known to the sample.</summary>
internal static class ListeningDesk
{
    public const string PassId = "heardpass";
    public const double Seconds = 4;

    /// <summary>By formula: a struck tone that sounds on, a little noise, and one click.</summary>
    public static float[] Source(double seconds = Seconds)
    {
        var dice = new Random(11);
        var samples = new float[(int)(seconds * Sounds.SampleRateHz)];
        for (var i = 0; i < samples.Length; i++)
        {
            var t = (double)i / Sounds.SampleRateHz;
            samples[i] = (float)(0.3 * Math.Sin(2 * Math.PI * 220 * t) * Math.Exp(-2 * (t % 0.5)) + 0.02 * (2 * dice.NextDouble() - 1));
        }
        return samples;
    }

    /// <summary>Writes the studio.</summary>
    /// <param name="folder">An empty folder.</param>
    /// <param name="source">The clean sound.</param>
    /// <param name="takeOf">Makes a take of it, by retiming.</param>
    /// <param name="takeName">As the source is called, without its ending.</param>
    public static void Write(string folder, float[] source, Func<string, float[]> takeOf, string takeName = "kit")
    {
        var pass = Path.Combine(folder, "passes", "heard");
        var takes = Path.Combine(folder, "takes", "heard");
        Save(Path.Combine(pass, "sources", $"{takeName}.wav"), source);
        File.WriteAllText(
            Path.Combine(pass, "plan.json"),
            $$"""{"formatVersion":1,"id":"{{PassId}}","name":"Heard","madeAt":"2026-01-01T00:00:00+00:00"}"""
        );
        var files = new Dictionary<string, string>();
        foreach (var retiming in (string[])["shift", "fit", "steady", "lock"])
        {
            files[retiming] = $"{retiming}/{takeName}-tape.wav";
            Save(Path.Combine(takes, files[retiming]), takeOf(retiming));
        }
        var capture = Path.Combine(folder, "captures", "heard", "back.wav");
        Save(capture, [.. new float[Sounds.SampleRateHz], .. takeOf("shift")]);
        var count = (int)(source.Length / (0.05 * Sounds.SampleRateHz)) + 1;
        double[] seconds = [.. Enumerable.Range(0, count).Select(i => 0.05 * i)];
        new ReturnSheet
        {
            Retime = "steady,shift,fit,lock",
            Captures =
            [
                new ReturnCapture
                {
                    File = capture,
                    SampleRateHz = Sounds.SampleRateHz,
                    ChannelCount = 1,
                },
            ],
            Passes = [],
            UnmatchedCaptures = [],
            Takes =
            [
                new ReturnTake
                {
                    Source = $"{takeName}.wav",
                    Capture = capture,
                    Found = true,
                    Complete = true,
                    Confidence = 0.98,
                    Files = files,
                    File = files["steady"],
                    CaptureStartSeconds = 1,
                    SpeedRatio = 1.001,
                    WobblePeakCents = 7,
                    GainDb = -3,
                    Polarity = 1,
                    Dropouts = [new ReturnDropout(2.1, 60, 9)],
                    TimeMap = new ReturnTimeMap
                    {
                        SourceSeconds = seconds,
                        CaptureSeconds = [.. seconds.Select(s => 1 + s / 1.001 + 0.002 * Math.Sin(2 * Math.PI * 0.7 * s))],
                        SigmaMilliseconds = [.. seconds.Select(s => 0.05 + (s is > 3 and < 3.4 ? 2 : 0))],
                    },
                    Sentence = "Found.",
                },
            ],
        }.Save(Path.Combine(takes, ReturnSheet.FileName));
    }

    public static void Save(string path, float[] samples, int channelCount = 1, int sampleRateHz = Sounds.SampleRateHz)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        using var writer = AudioWriter.Create(path, new AudioFormat(sampleRateHz, channelCount, SampleEncoding.Float32));
        writer.Write(samples);
        writer.Complete();
    }
}
