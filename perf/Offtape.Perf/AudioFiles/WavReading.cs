using System.Diagnostics;
using Offtape.AudioFiles;
using Offtape.Testing;

namespace Offtape.Perf.AudioFiles;

/// <summary>
/// Reads files of one gigabyte from the page cache to interleaved floats, against libsndfile's sf_readf_float, both in the same process,
/// by turns, with the same block. Arguments: [bytes of a file] [rounds] [folder].
/// </summary>
internal static class WavReading
{
    private const int BlockFrames = 65_536;

    public static int Run(string[] arguments)
    {
        var fileBytes = arguments.Length > 0 ? long.Parse(arguments[0]) : 1_000_000_000;
        var rounds = arguments.Length > 1 ? int.Parse(arguments[1]) : 15;
        var folder = arguments.Length > 2 ? arguments[2] : Path.GetTempPath();
        Machine.Print();
        Console.WriteLine(
            $"{LibSndFile.Version}; {fileBytes / 1e9:0.##} GB a file, 2 channels, blocks of {BlockFrames} frames, {rounds} rounds by turns"
        );
        Console.WriteLine();
        Console.WriteLine(
            "| encoding | ours, best ms | ours, median | libsndfile, best ms | median | ours GB/s | × libsndfile (best) | × (median) |"
        );
        Console.WriteLine("| --- | --- | --- | --- | --- | --- | --- | --- |");
        var isFastEnough = true;
        foreach (
            var encoding in (SampleEncoding[])[SampleEncoding.Pcm16, SampleEncoding.Pcm24, SampleEncoding.Pcm32, SampleEncoding.Float32]
        )
            isFastEnough &= Measure(Path.Combine(folder, "offtape-wav-read.wav"), encoding, fileBytes, rounds);
        return isFastEnough ? 0 : 3;
    }

    private static bool Measure(string path, SampleEncoding encoding, long fileBytes, int rounds)
    {
        try
        {
            Make(path, new AudioFormat(48_000, 2, encoding), fileBytes);
            var block = new float[2 * BlockFrames];
            var (ours, theirs) = (new List<double>(), new List<double>());
            // One round of each before the clock runs: the code is compiled and the file is in the page cache.
            double sum = Ours(path, block) - Theirs(path, block);
            if (sum != 0)
                throw new InvalidOperationException("The two readers do not agree.");
            for (var round = 0; round < rounds; round++)
            {
                ours.Add(Milliseconds(() => Ours(path, block)));
                theirs.Add(Milliseconds(() => Theirs(path, block)));
            }
            ours.Sort();
            theirs.Sort();
            Console.WriteLine(
                $"| {encoding} | {ours[0]:0} | {ours[rounds / 2]:0} | {theirs[0]:0} | {theirs[rounds / 2]:0} | {fileBytes / ours[0] / 1e6:0.00} "
                    + $"| {theirs[0] / ours[0]:0.00} | {theirs[rounds / 2] / ours[rounds / 2]:0.00} |"
            );
            return ours[0] <= theirs[0];
        }
        finally
        {
            File.Delete(path);
        }
    }

    private static void Make(string path, AudioFormat format, long fileBytes)
    {
        using var writer = AudioWriter.Create(path, format, null, new WriteOptions { Replace = true, Dither = false });
        var random = new Random(1);
        var block = new float[format.ChannelCount * BlockFrames];
        for (var i = 0; i < block.Length; i++)
            block[i] = (float)(2 * random.NextDouble() - 1);
        for (long written = 0; written < fileBytes; written += (long)BlockFrames * format.BytesPerFrame)
            writer.Write(block);
        writer.Complete();
    }

    // Each returns something that depends on what was read, so that the two can be compared and neither be left out.
    private static double Ours(string path, float[] block)
    {
        using var reader = AudioFile.Open(path);
        double sum = 0;
        long at = 0;
        for (int count; (count = reader.Read(at, block)) > 0; at += count)
            sum += block[0] + block[2 * count - 1];
        return sum;
    }

    private static double Theirs(string path, float[] block)
    {
        using var reader = LibSndFile.OpenRead(path);
        double sum = 0;
        for (long count; (count = reader.Read(block)) > 0; )
            sum += block[0] + block[2 * count - 1];
        return sum;
    }

    private static double Milliseconds(Action body)
    {
        var start = Stopwatch.GetTimestamp();
        body();
        return (Stopwatch.GetTimestamp() - start) * 1e3 / Stopwatch.Frequency;
    }
}
