using System.Diagnostics;
using System.Runtime.InteropServices;
using Offtape.Signal;

namespace Offtape.Perf;

/// <summary>
/// Ten minutes of stereo at 48 kHz through the loudness meter with all its readings, against ffmpeg's ebur128=peak=true over the same
/// raw float file, in turns; ffmpeg's time is that of its whole process.
/// </summary>
internal static class LoudnessMeasurement
{
    private const int SecondsOfAudio = 600;

    /// <param name="arguments">[rounds].</param>
    public static int Run(string[] arguments)
    {
        var rounds = arguments.Length > 0 ? int.Parse(arguments[0]) : 5;
        Machine.Print();
        Console.WriteLine($"{FirstLine(Ffmpeg("-version"))}");
        Console.WriteLine();
        var path = Path.Combine(Path.GetTempPath(), $"offtape-loudness-{Environment.ProcessId}.f32");
        try
        {
            File.WriteAllBytes(path, MemoryMarshal.AsBytes<float>(Programme()));
            Console.WriteLine("| round | ours, reading the file, s | ffmpeg, whole process, s | times as fast | ours, of which peaks s |");
            Console.WriteLine("| --- | --- | --- | --- | --- |");
            LoudnessMeter? meter = null;
            var (bestOurs, bestTheirs) = (double.PositiveInfinity, double.PositiveInfinity);
            for (var round = 1; round <= rounds; round++)
            {
                var watch = Stopwatch.StartNew();
                meter = Measure(path);
                var ours = watch.Elapsed.TotalSeconds;
                watch.Restart();
                Ffmpeg($"-nostats -f f32le -ar 48000 -ac 2 -i {path} -af ebur128=peak=true -f null -");
                var theirs = watch.Elapsed.TotalSeconds;
                (bestOurs, bestTheirs) = (Math.Min(bestOurs, ours), Math.Min(bestTheirs, theirs));
                watch.Restart();
                MeasurePeaks(path);
                Console.WriteLine($"| {round} | {ours:F2} | {theirs:F2} | **{theirs / ours:F1}** | {watch.Elapsed.TotalSeconds:F2} |");
            }
            Console.WriteLine($"| best | {bestOurs:F2} | {bestTheirs:F2} | **{bestTheirs / bestOurs:F1}** | |");
            Console.WriteLine();
            Console.WriteLine(
                $"Ours: I {meter!.IntegratedLufs:F3} LUFS, LRA {meter.LoudnessRangeLu:F3} LU, true peak {meter.TruePeakDbtp:F3} dBTP."
            );
            var said = Ffmpeg($"-nostats -f f32le -ar 48000 -ac 2 -i {path} -af ebur128=peak=true -f null -");
            Console.WriteLine("ffmpeg: " + string.Join(", ", said.Split('\n').TakeLast(20).Where(IsReading).Select(line => line.Trim())));
        }
        finally
        {
            File.Delete(path);
        }
        return 0;

        static bool IsReading(string line) =>
            !line.Contains("Parsed")
            && (line.TrimStart().StartsWith("I:  ", StringComparison.Ordinal) || line.Contains("LRA:  ") || line.Contains("Peak:  "));
    }

    // Noise and a chord that swell and fall, so that gates and range have something to do.
    private static float[] Programme()
    {
        var random = new Random(1);
        var frames = new float[SecondsOfAudio * 48_000 * 2];
        for (var i = 0; i < frames.Length; i++)
        {
            var t = i / 2 / 48_000.0;
            var swell = 0.5 * Math.Exp(-6 * Math.Pow(Math.Sin(t * 0.11), 2));
            frames[i] = (float)(swell * (0.5 * (random.NextDouble() - 0.5) + 0.4 * Math.Sin(2 * Math.PI * (i % 2 == 0 ? 220 : 330) * t)));
        }
        return frames;
    }

    private static LoudnessMeter Measure(string path)
    {
        var meter = new LoudnessMeter(2, 48_000);
        ForEachBlock(path, block => meter.Add(block));
        return meter;
    }

    private static void MeasurePeaks(string path)
    {
        TruePeakMeter[] meters = [new(48_000), new(48_000)];
        ForEachBlock(
            path,
            block =>
            {
                for (var channel = 0; channel < 2; channel++)
                    meters[channel].Add(block, 2, channel);
            }
        );
    }

    private static void ForEachBlock(string path, Action<ReadOnlySpan<float>> use)
    {
        using var file = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read, 1);
        var block = new float[2 * 16_384];
        for (
            int bytes;
            (bytes = file.ReadAtLeast(MemoryMarshal.AsBytes(block.AsSpan()), block.Length * 4, throwOnEndOfStream: false)) > 0;

        )
            use(block.AsSpan(0, bytes / 4));
    }

    private static string Ffmpeg(string arguments)
    {
        var start = new ProcessStartInfo("ffmpeg", "-hide_banner " + arguments)
        {
            RedirectStandardOutput = true,
            UseShellExecute = false,
            RedirectStandardError = true,
        };
        using var process = Process.Start(start) ?? throw new InvalidOperationException("ffmpeg did not start.");
        var errors = process.StandardError.ReadToEndAsync();
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return output + errors.Result;
    }

    private static string FirstLine(string text) => text.Split('\n')[0];
}
