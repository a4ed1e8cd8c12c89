using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Passes;
using Offtape.Simulator;

namespace Offtape.Cli.Verbs.Demo;

/// <summary>Plays, sends, prints and brings back, in the working folder; the sends and returns are those of the user's own commands.</summary>
internal sealed class DemoRun(DemoFolder folder, JobProgress progress, CancellationToken cancellation)
{
    private const string Sources = "sources";
    private const string Pass = "pass";
    private const string Page = "page.html";

    private static readonly (MachineModel Model, ulong Seed, string How)[] Machines =
    [
        (MachinePresets.KitchenDeck.Rewound(), 1, "a cassette deck: recorded, rewound, replayed"),
        (MachinePresets.HarbourReel.OffTape(), 2, "a reel machine, heard off tape while it records"),
    ];

    /// <summary>The worst of the commands that were run.</summary>
    public ExitCode ExitCode { get; private set; } = ExitCode.Done;

    public DemoAnswer Play()
    {
        var stems = WriteStems();
        var request = new SendRequest { Sources = [.. stems.Select(s => $"{Sources}/{FileOf(s)}")], TargetFolder = Pass };
        var send = SendJob.Run(request, progress.Part(0.1, 0.15), cancellation);
        Note(send.ExitCode);
        List<string> commands = [$"offtape send {Sources} --to {Pass}"];
        var machines = new List<DemoMachine>();
        var page = new DemoPage(stems);
        var (channels, sampleRateHz) = SoundOf($"{Pass}/{PassSheet.SendFileName}");
        for (var i = 0; i < Machines.Length; i++)
        {
            var (model, seed, how) = Machines[i];
            var part = progress.Part(0.15 + 0.4 * i, 0.15 + 0.4 * (i + 1));
            cancellation.ThrowIfCancellationRequested();
            part.Report("printing", 0, $"printing through the {model.Name.ToLowerInvariant()}");
            var back = new SimulatedMachine(model, seed).Run(channels, sampleRateHz);
            cancellation.ThrowIfCancellationRequested();
            var slug = model.Name.ToLowerInvariant().Replace(' ', '-');
            var capture = $"returns/{slug}.wav";
            Write(capture, back.Channels, back.SampleRateHz, SampleEncoding.Pcm24);
            var takes = $"takes/{slug}";
            var result = ReturnJob.Run(
                new ReturnRequest
                {
                    Captures = [capture],
                    Passes = [Pass],
                    TargetFolder = takes,
                    Retimings = [Retiming.Lock, Retiming.Steady, Retiming.Fit, Retiming.Shift],
                },
                part.Part(0.5, 1),
                cancellation
            );
            Note(result.ExitCode);
            commands.Add($"offtape return {capture} --pass {Pass} --to {takes} --retime lock,steady,fit,shift");
            machines.Add(
                new DemoMachine(model.Name, how, capture, [.. result.Sheet.Takes.Select(t => Describe(t, takes, send.Sheet, back))])
            );
            page.Add(machines[^1], result.Sheet, takes);
        }
        progress.Report("drawing", 0.97, "drawing the page");
        SafeFile.WriteText(Page, page.ToHtml(commands), replace: true);
        return new DemoAnswer(folder.Named, Path.Combine(folder.Named, Page), commands, machines);
    }

    internal static string FileOf(DemoStem stem) => stem.FileName + ".wav";

    private IReadOnlyList<DemoStem> WriteStems()
    {
        progress.Report("playing", 0, "playing Lantern Quay");
        var stems = LanternQuay.Render();
        foreach (var stem in stems)
            Write($"{Sources}/{FileOf(stem)}", stem.Channels, stem.SampleRateHz, SampleEncoding.Pcm24);
        return stems;
    }

    private static DemoTake Describe(ReturnTake take, string folder, PassSheet sheet, SimulatedReturn back)
    {
        var item = sheet.Items.First(i => i.Source == take.Source);
        var truth = back.TruthPerChannel[item.Tracks[0] - 1].CaptureAt(item.StartSeconds);
        var error = (take.CaptureStartSeconds - truth) * 1000;
        var sentence = error is { } milliseconds
            ? $"{take.Sentence} By the machine's own truth that is {Words.Number(Math.Abs(milliseconds), 2)} ms {(milliseconds < 0 ? "early" : "late")}."
            : take.Sentence;
        return new DemoTake(
            take.Source,
            take.Found,
            take.Files.ToDictionary(f => f.Key, f => $"{folder}/{f.Value}"),
            take.CaptureStartSeconds,
            error,
            sentence
        );
    }

    private void Note(ExitCode exitCode)
    {
        if (exitCode != ExitCode.Done)
            ExitCode = exitCode;
    }

    internal static void Write(string path, float[][] channels, int sampleRateHz, SampleEncoding encoding)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        using var writer = AudioWriter.Create(path, new AudioFormat(sampleRateHz, channels.Length, encoding));
        var block = new float[16_384 * channels.Length];
        for (var done = 0; done < channels[0].Length; done += 16_384)
        {
            var count = Math.Min(16_384, channels[0].Length - done);
            for (var i = 0; i < count; i++)
            for (var c = 0; c < channels.Length; c++)
                block[i * channels.Length + c] = channels[c][done + i];
            writer.Write(block.AsSpan(0, count * channels.Length));
        }
        writer.Complete();
    }

    internal static (float[][] Channels, int SampleRateHz) SoundOf(string path)
    {
        using var reader = AudioFile.Open(path);
        var channelCount = reader.Format.ChannelCount;
        var channels = new float[channelCount][];
        for (var c = 0; c < channelCount; c++)
            channels[c] = new float[reader.FrameCount];
        var block = new float[16_384 * channelCount];
        for (long at = 0; at < reader.FrameCount; )
        {
            var got = reader.Read(at, block);
            if (got == 0)
                break;
            for (var i = 0; i < got; i++)
            for (var c = 0; c < channelCount; c++)
                channels[c][at + i] = block[i * channelCount + c];
            at += got;
        }
        return (channels, reader.Format.SampleRateHz);
    }
}
