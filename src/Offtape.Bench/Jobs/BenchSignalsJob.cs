using Offtape.AudioFiles;
using Offtape.Base;

namespace Offtape.Bench;

/// <summary>What was written of a check signal.</summary>
/// <param name="SignalPath">The audio.</param>
/// <param name="SheetPath">The sheet that says what stands where.</param>
/// <param name="Sheet">The sheet itself.</param>
/// <param name="Steps">The run of tape that it asks for.</param>
public sealed record BenchSignalsResult(string SignalPath, string SheetPath, BenchSheet Sheet, IReadOnlyList<BenchStep> Steps);

/// <summary>Writes a check signal and its sheet.</summary>
public static class BenchSignalsJob
{
    private const int BlockSamples = 1 << 16;

    /// <summary>Writes <c>bench.wav</c> (24 bits) and <c>bench-sheet.json</c> into a folder: both or neither.</summary>
    /// <exception cref="Fault">Usage: see <see cref="BenchSheetMaker.Make"/>. Output: a file exists, or cannot be written.</exception>
    public static BenchSignalsResult Run(
        BenchSheetRequest request,
        string folder,
        bool replace,
        JobProgress progress,
        CancellationToken cancellation
    )
    {
        var sheet = BenchSheetMaker.Make(request);
        BenchFolder.CheckTargets(folder, replace, BenchSheet.SignalFileName, BenchSheet.FileName);
        BenchFolder.Make(folder);
        var signalPath = Path.Combine(folder, BenchSheet.SignalFileName);
        var sheetPath = Path.Combine(folder, BenchSheet.FileName);
        using var pendingSheet = SafeFile.Create(sheetPath, replace);
        pendingSheet.Stream.Write(System.Text.Encoding.UTF8.GetBytes(sheet.ToJson()));
        var format = new AudioFormat(sheet.SampleRateHz, sheet.ChannelCount, SampleEncoding.Pcm24);
        using var writer = AudioWriter.Create(signalPath, format, null, new WriteOptions { Replace = replace });
        Write(new BenchSignal(sheet), sheet.ChannelCount, writer, progress, cancellation);
        writer.Complete();
        pendingSheet.Complete();
        return new BenchSignalsResult(signalPath, sheetPath, sheet, BenchSteps.ForSignal(sheet));
    }

    private static void Write(
        BenchSignal signal,
        int channelCount,
        AudioWriter writer,
        JobProgress progress,
        CancellationToken cancellation
    )
    {
        var blockFrames = Math.Max(1, BlockSamples / channelCount);
        var block = new float[blockFrames * channelCount];
        for (long frame = 0; frame < signal.FrameCount; frame += blockFrames)
        {
            cancellation.ThrowIfCancellationRequested();
            var part = block.AsSpan(0, (int)Math.Min(blockFrames, signal.FrameCount - frame) * channelCount);
            signal.Render(frame, part);
            writer.Write(part);
            progress.Report("writing", (double)frame / signal.FrameCount, "writing the check signal");
        }
        cancellation.ThrowIfCancellationRequested();
    }
}
