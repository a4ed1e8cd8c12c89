using Offtape.Base;

namespace Offtape.Passes.Tests;

/// <summary>A folder of its own for one test, with sources made from formulas, and the send made of them.</summary>
internal sealed class SendBench : IDisposable
{
    internal SendBench() => Directory.CreateDirectory(Folder);

    internal string Folder { get; } = Path.Combine(Path.GetTempPath(), "offtape-send-" + Guid.NewGuid().ToString("n"));

    internal string Target => Path.Combine(Folder, "out");

    internal string SendPath => Path.Combine(Target, "send.wav");

    internal string SheetPath => Path.Combine(Target, "pass.json");

    /// <summary>A source: noise of its own, peak exactly at the level asked for, on the 16-bit grid.</summary>
    internal string Source(string name, double seconds, int channelCount = 1, int sampleRateHz = 48_000, double peak = 0.5, int seed = 1)
    {
        var path = Path.Combine(Folder, name);
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        var frameCount = (int)Math.Round(seconds * sampleRateHz);
        return PlainWav.Write(path, sampleRateHz, channelCount, frameCount, (frame, channel) => Noise(seed, frame, channel, peak));
    }

    /// <summary>The sample of such a source.</summary>
    internal static double Noise(int seed, long frame, int channel, double peak)
    {
        if (frame == 7 && channel == 0)
            return peak;
        var hash = (ulong)(frame * 64 + channel + 1) * 0x9E37_79B9_7F4A_7C15UL + (ulong)seed * 0xD1B5_4A32_D192_ED03UL;
        hash ^= hash >> 29;
        hash *= 0xBF58_476D_1CE4_E5B9UL;
        return Math.Round(((hash >> 40) / (double)(1 << 24) - 0.5) * 1.8 * peak * 32_768) / 32_768;
    }

    internal SendRequest Request(params string[] sources) => new() { Sources = sources, TargetFolder = Target };

    internal SendResult Run(SendRequest request) => SendJob.Run(request, JobProgress.None, CancellationToken.None);

    internal PlainWav Send() => PlainWav.Read(SendPath);

    public void Dispose() => Directory.Delete(Folder, recursive: true);
}
