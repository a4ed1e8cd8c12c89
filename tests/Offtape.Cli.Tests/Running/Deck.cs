using Offtape.AudioFiles;
using Offtape.Simulator;

namespace Offtape.Cli.Tests.Running;

/// <summary>Stands in for the person at the machine: plays a send to a simulated one and records what comes back.</summary>
internal static class Deck
{
    public static SimulatedReturn Print(string sendPath, string capturePath, MachineModel model, ulong seed, RunOptions? options = null)
    {
        using var reader = AudioFile.Open(sendPath);
        var channelCount = reader.Format.ChannelCount;
        var interleaved = new float[checked((int)reader.FrameCount * channelCount)];
        for (var done = 0; done < reader.FrameCount; )
            done += reader.Read(done, interleaved.AsSpan(done * channelCount));
        var channels = new float[channelCount][];
        for (var c = 0; c < channelCount; c++)
            channels[c] = [.. Enumerable.Range(0, (int)reader.FrameCount).Select(i => interleaved[i * channelCount + c])];
        var back = new SimulatedMachine(model, seed).Run(channels, reader.Format.SampleRateHz, options);
        Write(capturePath, back.Channels, back.SampleRateHz);
        return back;
    }

    public static void Write(string path, float[][] channels, int sampleRateHz)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        using var writer = AudioWriter.Create(path, new AudioFormat(sampleRateHz, channels.Length, SampleEncoding.Pcm24));
        var interleaved = new float[channels[0].Length * channels.Length];
        for (var i = 0; i < channels[0].Length; i++)
        for (var c = 0; c < channels.Length; c++)
            interleaved[i * channels.Length + c] = channels[c][i];
        writer.Write(interleaved);
        writer.Complete();
    }
}
