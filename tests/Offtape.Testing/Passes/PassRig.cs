using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Passes;
using Offtape.Simulator;
using Offtape.Tape;

namespace Offtape.Testing;

/// <summary>
/// A whole pass in a folder of its own: sources written, sent, printed through a simulated machine, captured to files, and brought back by
/// the same jobs that the commands run. Disposing deletes the folder.
/// </summary>
public sealed class PassRig : IDisposable
{
    public PassRig(string? folder = null)
    {
        Folder = folder ?? Path.Combine(Path.GetTempPath(), "offtape-rig-" + Guid.NewGuid().ToString("N")[..12]);
        Directory.CreateDirectory(SourceFolder);
        Directory.CreateDirectory(CaptureFolder);
    }

    public string Folder { get; }

    public string SourceFolder => Path.Combine(Folder, "sources");

    public string PassFolder => Path.Combine(Folder, "pass");

    public string CaptureFolder => Path.Combine(Folder, "captures");

    public string TakeFolder => Path.Combine(Folder, "takes");

    public List<string> Sources { get; } = [];

    public PassSheet? Sheet { get; private set; }

    /// <summary>What was simulated, by capture file.</summary>
    public Dictionary<string, SimulatedReturn> Truth { get; } = [];

    /// <summary>Writes a source; planar channels.</summary>
    public string AddSource(
        string name,
        float[][] channels,
        int sampleRateHz = 48_000,
        SampleEncoding encoding = SampleEncoding.Float32,
        long? timeReferenceFrames = null
    )
    {
        var path = Path.Combine(SourceFolder, name + ".wav");
        Write(path, channels, sampleRateHz, encoding, timeReferenceFrames);
        Sources.Add(path);
        return path;
    }

    /// <summary>Makes the send of all sources.</summary>
    public SendResult Send(Func<SendRequest, SendRequest>? change = null)
    {
        var request = new SendRequest
        {
            Sources = Sources,
            TargetFolder = PassFolder,
            PassId = "rig-" + Path.GetFileName(Folder),
        };
        var result = SendJob.Run(change?.Invoke(request) ?? request, JobProgress.None, default);
        Sheet = result.Sheet;
        return result;
    }

    /// <summary>Prints the send through a machine and writes what comes back to a file.</summary>
    public SimulatedReturn Print(
        SimulatedMachine machine,
        RunOptions? options = null,
        string name = "capture",
        SampleEncoding encoding = SampleEncoding.Pcm24
    )
    {
        var (channels, rate) = Read(Path.Combine(PassFolder, PassSheet.SendFileName));
        return Print(machine, channels, rate, options, name, encoding);
    }

    /// <summary>Prints any audio through a machine and writes what comes back to a file.</summary>
    public SimulatedReturn Print(
        SimulatedMachine machine,
        float[][] channels,
        int sampleRateHz,
        RunOptions? options,
        string name,
        SampleEncoding encoding = SampleEncoding.Pcm24
    )
    {
        var printed = machine.Run(channels, sampleRateHz, options ?? new RunOptions());
        var path = CapturePath(name);
        Write(path, printed.Channels, printed.SampleRateHz, encoding, null);
        Truth[path] = printed;
        return printed;
    }

    public string CapturePath(string name) => Path.Combine(CaptureFolder, name + ".wav");

    /// <summary>Brings everything in the capture folder back with the sheet.</summary>
    public ReturnResult Return(Func<ReturnRequest, ReturnRequest>? change = null)
    {
        var request = new ReturnRequest
        {
            Captures = [CaptureFolder],
            Passes = [PassFolder],
            TargetFolder = TakeFolder,
            Retimings = [Retiming.Fit],
            Force = true,
        };
        return ReturnJob.Run(change?.Invoke(request) ?? request, JobProgress.None, default);
    }

    /// <summary>The true capture second of a source time of an item of the sheet, on the first channel that holds its first track.</summary>
    public double TrueCaptureSeconds(int item, double sourceSeconds, string captureName = "capture")
    {
        var sheet = Sheet ?? throw new InvalidOperationException("Nothing was sent yet.");
        var entry = sheet.Items[item];
        var truth = Truth[CapturePath(captureName)];
        var channel = Math.Max(0, truth.TrackOfChannel.ToList().IndexOf(entry.Tracks[0] - 1));
        return truth.TruthPerChannel[channel].CaptureAt(SendSeconds(item, sourceSeconds));
    }

    /// <summary>Where a source time stands in the send.</summary>
    public double SendSeconds(int item, double sourceSeconds)
    {
        var (sheet, entry) = (Sheet!, Sheet!.Items[item]);
        var lastFrame = (double)(entry.FrameCount - 1) / entry.SampleRateHz;
        return entry.StartSeconds + (sheet.Reversed ? lastFrame - sourceSeconds : sourceSeconds) * sheet.PrintRatio;
    }

    public static void Write(string path, float[][] channels, int sampleRateHz, SampleEncoding encoding, long? timeReferenceFrames)
    {
        var metadata = timeReferenceFrames is null ? null : AudioMetadata.Empty with { TimeReferenceFrames = timeReferenceFrames };
        using var writer = AudioWriter.Create(
            path,
            new AudioFormat(sampleRateHz, channels.Length, encoding),
            metadata,
            new WriteOptions { Replace = true }
        );
        const int block = 1 << 16;
        var interleaved = new float[block * channels.Length];
        for (var start = 0; start < channels[0].Length; start += block)
        {
            var count = Math.Min(block, channels[0].Length - start);
            for (var c = 0; c < channels.Length; c++)
            {
                for (var i = 0; i < count; i++)
                    interleaved[i * channels.Length + c] = channels[c][start + i];
            }
            writer.Write(interleaved.AsSpan(0, count * channels.Length));
        }
        writer.Complete();
    }

    public static (float[][] Channels, int SampleRateHz) Read(string path)
    {
        using var reader = AudioFile.Open(path);
        var count = reader.Format.ChannelCount;
        var channels = new float[count][];
        for (var c = 0; c < count; c++)
            channels[c] = new float[reader.FrameCount];
        const int block = 1 << 16;
        var interleaved = new float[block * count];
        for (long start = 0; start < reader.FrameCount; start += block)
        {
            var read = reader.Read(start, interleaved);
            for (var c = 0; c < count; c++)
            {
                for (var i = 0; i < read; i++)
                    channels[c][start + i] = interleaved[i * count + c];
            }
        }
        return (channels, reader.Format.SampleRateHz);
    }

    public void Dispose()
    {
        if (Directory.Exists(Folder))
            Directory.Delete(Folder, recursive: true);
    }
}
