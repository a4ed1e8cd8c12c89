using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Simulator;
using Offtape.Web;

namespace Offtape.Cli.Verbs.Demo;

/// <summary>"Lantern Quay" and a simulated cassette deck, for the app.</summary>
internal sealed class LanternQuayMaterial : IDemoMaterial
{
    private const ulong Seed = 1;
    private static readonly MachineModel Machine = MachinePresets.KitchenDeck.Rewound();

    public string PieceName => "Lantern Quay";

    public string MachineName => Machine.Name;

    public double SpeedCmPerSecond => Tape.TapeSpeeds.OneAndSevenEighths.Speed.CmPerSecond;

    public IReadOnlyList<string> WriteSources(string folder, JobProgress progress, CancellationToken cancellation)
    {
        var paths = new List<string>();
        var stems = LanternQuay.Render();
        foreach (var stem in stems)
        {
            cancellation.ThrowIfCancellationRequested();
            progress.Report("playing", (double)paths.Count / stems.Count, $"playing {PieceName}");
            var path = Path.Combine(folder, DemoRun.FileOf(stem));
            DemoRun.Write(path, stem.Channels, stem.SampleRateHz, SampleEncoding.Pcm24);
            paths.Add(path);
        }
        return paths;
    }

    public void PlayThroughMachine(string sendPath, string capturePath, JobProgress progress, CancellationToken cancellation)
    {
        progress.Report("printing", 0, $"printing through a simulated {MachineName.ToLowerInvariant()}");
        var (channels, sampleRateHz) = DemoRun.SoundOf(sendPath);
        cancellation.ThrowIfCancellationRequested();
        var back = new SimulatedMachine(Machine, Seed).Run(channels, sampleRateHz);
        cancellation.ThrowIfCancellationRequested();
        DemoRun.Write(capturePath, back.Channels, back.SampleRateHz, SampleEncoding.Pcm24);
    }
}
