using System.Diagnostics;
using Offtape.AudioFiles;
using Offtape.Testing;

namespace Offtape.Perf.AudioFiles;

/// <summary>
/// Reads files of one gigabyte from the page cache to interleaved floats, against libsndfile's sf_readf_float, both in the same process,
/// by turns, with the same block. Of each block the fastest round counts, since what others do to the machine can only add; the time is the
/// sum over the file. Arguments: [bytes of a file] [rounds] [folder].
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
            $"{LibSndFile.Version}; {fileBytes / 1e9:0.##} GB a file, 2 channels, blocks of {BlockFrames} frames, {rounds} rounds"
        );
        Console.WriteLine();
        Console.WriteLine("| encoding | ours ms | libsndfile ms | ours GB/s | libsndfile GB/s | ours × libsndfile |");
        Console.WriteLine("| --- | --- | --- | --- | --- | --- |");
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
            using var ours = AudioFile.Open(path);
            using var theirs = LibSndFile.OpenRead(path);
            var block = new float[2 * BlockFrames];
            var blockCount = (int)(ours.FrameCount / BlockFrames);
            var (ourBest, theirBest) = (Best(blockCount), Best(blockCount));
            // The two read by turns, half a file apart, so that neither finds in the cache what the other has just read.
            var apart = blockCount / 2;
            theirs.SeekTo((long)apart * BlockFrames);
            var (ourSum, theirSum) = (0.0, 0.0);
            for (var round = 0; round < rounds; round++)
            for (var i = 0; i < blockCount; i++)
            {
                var start = Stopwatch.GetTimestamp();
                ours.Read((long)i * BlockFrames, block);
                ourBest[i] = Math.Min(ourBest[i], Stopwatch.GetTimestamp() - start);
                ourSum += block[0] + block[^1];

                var other = (i + apart) % blockCount;
                if (other == 0)
                    theirs.SeekTo(0);
                start = Stopwatch.GetTimestamp();
                theirs.Read(block);
                theirBest[other] = Math.Min(theirBest[other], Stopwatch.GetTimestamp() - start);
                theirSum += block[0] + block[^1];
            }
            if (Math.Abs(ourSum - theirSum) > 1e-6 * rounds * blockCount)
                throw new InvalidOperationException("The two readers do not agree.");
            var (ourMs, theirMs) = (Milliseconds(ourBest), Milliseconds(theirBest));
            var bytes = (double)blockCount * BlockFrames * ours.Format.BytesPerFrame;
            Console.WriteLine(
                $"| {encoding} | {ourMs:0} | {theirMs:0} | {bytes / ourMs / 1e6:0.0} | {bytes / theirMs / 1e6:0.0} | {theirMs / ourMs:0.00} |"
            );
            return ourMs <= theirMs;
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

    private static long[] Best(int count)
    {
        var best = new long[count];
        Array.Fill(best, long.MaxValue);
        return best;
    }

    private static double Milliseconds(long[] ticks) => ticks.Sum() * 1e3 / Stopwatch.Frequency;
}
