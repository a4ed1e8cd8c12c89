using Offtape.Base;
using Offtape.Cli.Shell;
using Offtape.Passes;
using Offtape.Report;
using Offtape.Signal;
using Offtape.Simulator;

namespace Offtape.Cli.Verbs.Demo;

/// <summary>The demo's page: for each machine its takes over their sources, how far the tape was from the grid, and the levels.</summary>
internal sealed class DemoPage(IReadOnlyList<DemoStem> stems)
{
    private const string Retimed = "fit";
    private HtmlPage _page = HtmlPage.Create("Lantern Quay");

    /// <summary>Adds a machine. Files are named from the page's own folder, which is the working folder.</summary>
    public void Add(DemoMachine machine, ReturnSheet sheet, string takesFolder)
    {
        var errors = machine.Takes.Select(t => Math.Abs(t.PlaceErrorMilliseconds ?? double.PositiveInfinity)).ToArray();
        _page = _page.Section(
            machine.Name,
            $"{char.ToUpperInvariant(machine.How[0])}{machine.How[1..]}. {machine.Takes.Count(t => t.Found)} of {machine.Takes.Count} found, "
                + $"none further than {Words.Number(errors.Max(), 2)} ms from where the simulated machine knows it to be."
        );
        _page = _page.Table(Levels(machine));
        foreach (var take in sheet.Takes.Where(t => t.Found && t.Files.ContainsKey(Retimed)))
        {
            var stem = stems.First(s => DemoRun.FileOf(s) == take.Source);
            var file = $"{takesFolder}/{take.Files[Retimed]}";
            var (channels, sampleRateHz) = DemoRun.SoundOf(file);
            _page = _page
                .Part(stem.Name, machine.Takes.First(t => t.Source == take.Source).Sentence)
                .Figure(
                    PlotModel.Overlay(
                        "Source and take",
                        Waveform.Of(stem.Channels[0], stem.SampleRateHz),
                        Waveform.Of(channels[0], sampleRateHz)
                    ),
                    "First channel; the take retimed by one constant ratio (fit)."
                );
            if (take.TimeMap is { } map)
                _page = _page.Figure(TimeMapPlot(map), "Zero is a tape that runs at this take's mean speed; the band is two sigma.");
            _page = _page.Audio($"{stem.Name}, source", $"sources/{take.Source}").Audio($"{stem.Name}, take", file);
        }
    }

    public string ToHtml(IReadOnlyList<string> commands) =>
        (
            _page with
            {
                Blocks =
                [
                    new TextBlock("In this folder, the following was done, between plays of the send to each machine:"),
                    .. commands.Select(c => new TextBlock(c)),
                    .. _page.Blocks,
                ],
            }
        )
            .Lead("Four sounds at 84 beats a minute, printed through two simulated machines and brought back to their places.")
            .Footer($"Made by offtape {CommandLine.Version} demo. The machines are simulated; the piece is played by the program.")
            .ToHtml();

    private static PlotModel TimeMapPlot(ReturnTimeMap map)
    {
        // The straight line through the map by least squares: the mean speed and the mean place.
        var (x, y) = (map.SourceSeconds, map.CaptureSeconds);
        var (meanX, meanY) = (x.Average(), y.Average());
        var slope = x.Zip(y).Sum(p => (p.First - meanX) * (p.Second - meanY)) / x.Sum(v => (v - meanX) * (v - meanX));
        var off = x.Zip(y).Select(p => (p.Second - meanY - slope * (p.First - meanX)) * 1000).ToArray();
        return new PlotModel("How far the tape was from the grid", Axis.Clock("source time"), Axis.Linear("late", "ms")).With(
            new BandSeries(
                "two sigma",
                x,
                [.. off.Zip(map.SigmaMilliseconds).Select(p => p.First - 2 * p.Second)],
                [.. off.Zip(map.SigmaMilliseconds).Select(p => p.First + 2 * p.Second)]
            ),
            new LineSeries("time map", x, off)
        );
    }

    private ReportTable Levels(DemoMachine machine)
    {
        var table = ReportTable
            .Create("Levels")
            .Words("sound")
            .Figures("source, LUFS")
            .Figures("take, LUFS")
            .Figures("source, dBTP")
            .Figures("take, dBTP");
        foreach (var take in machine.Takes.Where(t => t.Found && t.Files.ContainsKey(Retimed)))
        {
            var stem = stems.First(s => DemoRun.FileOf(s) == take.Source);
            var source = Loudness(stem.Channels, stem.SampleRateHz);
            var (channels, sampleRateHz) = DemoRun.SoundOf(take.Files[Retimed]);
            var taken = Loudness(channels, sampleRateHz);
            table = table.Row(
                stem.Name,
                Words.Number(source.IntegratedLufs, 1),
                Words.Number(taken.IntegratedLufs, 1),
                Words.Number(source.TruePeakDbtp, 1),
                Words.Number(taken.TruePeakDbtp, 1)
            );
        }
        return table;
    }

    private static LoudnessMeter Loudness(float[][] channels, int sampleRateHz)
    {
        var meter = new LoudnessMeter(channels.Length, sampleRateHz);
        var interleaved = new float[channels[0].Length * channels.Length];
        for (var i = 0; i < channels[0].Length; i++)
        for (var c = 0; c < channels.Length; c++)
            interleaved[i * channels.Length + c] = channels[c][i];
        meter.Add(interleaved);
        return meter;
    }
}
