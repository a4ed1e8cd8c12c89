using Offtape.AudioFiles;
using Offtape.Simulator;

namespace Offtape.Web.Tests.Browser;

/// <summary>The simulated machine, which stands in for tape between send and capture; and sounds that are worth printing.</summary>
internal static class TestMachine
{
    /// <summary>Struck tones and noise: short, and unlike each other.</summary>
    public static string[] WriteSources(string folder)
    {
        Directory.CreateDirectory(folder);
        return
        [
            Write(folder, "bass line.wav", 3.5, (t, _) => 0.5 * Math.Sin(2 * Math.PI * 82.41 * t) * Math.Exp(-3 * (t % 0.5))),
            Write(
                folder,
                "kit <loud>.wav",
                3,
                (t, noise) => 0.6 * noise * Math.Exp(-25 * (t % 0.31)) + 0.3 * Math.Sin(2 * Math.PI * 190 * t) * Math.Exp(-12 * (t % 0.62))
            ),
            Write(
                folder,
                "marimba.wav",
                4,
                (t, _) => 0.4 * Math.Sin(2 * Math.PI * (330 + 110 * (int)(t / 0.4 % 5)) * t) * Math.Exp(-6 * (t % 0.4))
            ),
        ];
    }

    /// <summary>Plays a send through a cassette deck that is rewound and replayed.</summary>
    public static void Print(string sendPath, string capturePath, ulong seed = 3)
    {
        using var reader = AudioFile.Open(sendPath);
        var channels = new float[reader.Format.ChannelCount][];
        for (var c = 0; c < channels.Length; c++)
            channels[c] = new float[reader.FrameCount];
        reader.ReadChannels(0, (int)reader.FrameCount, channels);
        var back = new SimulatedMachine(MachinePresets.KitchenDeck.Rewound(), seed).Run(channels, reader.Format.SampleRateHz);
        using var writer = AudioWriter.Create(capturePath, new AudioFormat(back.SampleRateHz, back.Channels.Length, SampleEncoding.Pcm24));
        var interleaved = new float[back.Channels[0].Length * back.Channels.Length];
        for (var i = 0; i < back.Channels[0].Length; i++)
        for (var c = 0; c < back.Channels.Length; c++)
            interleaved[i * back.Channels.Length + c] = back.Channels[c][i];
        writer.Write(interleaved);
        writer.Complete();
    }

    private static string Write(string folder, string name, double seconds, Func<double, double, double> at)
    {
        var path = Path.Combine(folder, name);
        var dice = new Random(7);
        var samples = new float[(int)(seconds * Sounds.SampleRateHz)];
        for (var i = 0; i < samples.Length; i++)
            samples[i] = (float)at((double)i / Sounds.SampleRateHz, 2 * dice.NextDouble() - 1);
        using var writer = AudioWriter.Create(path, new AudioFormat(Sounds.SampleRateHz, 1, SampleEncoding.Pcm24));
        writer.Write(samples);
        writer.Complete();
        return path;
    }
}
