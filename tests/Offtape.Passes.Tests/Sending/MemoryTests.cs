using Offtape.Base;
using Offtape.Testing;

namespace Offtape.Passes.Tests;

public sealed class MemoryTests : IDisposable
{
    private readonly SendBench _bench = new();

    public void Dispose() => _bench.Dispose();

    /// <summary>
    /// Ten minutes of source are 38 MB of samples; half a minute and ten minutes must take the same few megabytes.
    /// Reversed and stretched, so that every part of the way works. The job runs on the calling thread. The margin of a megabyte is for
    /// the progress reports.
    /// </summary>
    [Fact]
    public void Ten_minutes_take_no_more_memory_than_half_a_minute()
    {
        var seconds = _bench.Source("seconds.wav", 2, sampleRateHz: 16_000);
        var halfMinute = _bench.Source("half.wav", 30, sampleRateHz: 16_000);
        var tenMinutes = _bench.Source("ten.wav", 600, sampleRateHz: 16_000);
        long Allocated(string source)
        {
            var request = _bench.Request(source) with { Reversed = true, PrintRatio = 1.25, Force = true };
            var before = GC.GetAllocatedBytesForCurrentThread();
            SendJob.Run(request, JobProgress.None, CancellationToken.None);
            return GC.GetAllocatedBytesForCurrentThread() - before;
        }

        Allocated(seconds); // tables and code are made once
        var (half, ten) = (Allocated(halfMinute), Allocated(tenMinutes));
        Measured.AtMost(3e6, half, "bytes for half a minute");
        Measured.AtMost(half + 1e6, ten, "bytes for ten minutes");
    }

    /// <summary>Sources are opened when their time comes and closed when it is over: a folder of hundreds must not run out of file handles.</summary>
    [Fact]
    public void Few_files_are_open_at_once()
    {
        Assert.SkipUnless(Directory.Exists("/proc/self/fd"), "This system does not list the open files of a process.");
        var sources = Enumerable.Range(0, 30).Select(i => _bench.Source($"{i}.wav", 0.2, sampleRateHz: 16_000)).ToArray();
        var most = 0;
        SendJob.Run(_bench.Request(sources), JobProgress.To(_ => most = Math.Max(most, OpenSources())), CancellationToken.None);
        Assert.InRange(most, 1, 2);
    }

    private int OpenSources() =>
        Directory
            .EnumerateFileSystemEntries("/proc/self/fd")
            .Select(fd => new FileInfo(fd).LinkTarget)
            .Count(file =>
                file is not null
                && file.StartsWith(_bench.Folder, StringComparison.Ordinal)
                && !file.StartsWith(_bench.Target, StringComparison.Ordinal)
            );
}
