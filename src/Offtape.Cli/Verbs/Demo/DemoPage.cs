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
    private const string Retimed = "lock";

    // What steady takes out unless told otherwise.
    private const double CornerHz = 0.3;

    // An attack close up: short enough to see a single period, with a little of what was before it.
    private const double AttackSeconds = 0.03;
    private const double AttackLeadSeconds = 0.005;
    private const int AttackBlocksBefore = 6;
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
        _page = _page.Table(Places(machine, sheet)).Table(Levels(machine));
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
                    "The take lies over its source; where it is the louder of the two, a line marks the source under it. First channel, the "
                        + "take with all movement taken out that can be followed (lock)."
                )
                .Figure(
                    AttackPlot(stem, channels[0], out var at),
                    $"From {Words.Clock(at)} of the source on: how well the two lie over each other."
                );
            if (take.TimeMap is { } map)
                _page = _page.Figure(
                    TimeMapPlot(map),
                    "Zero is a tape that runs at this take's mean speed. The truth lies in the band 19 times in 20; where the sound is silent the "
                        + "tape cannot be seen, and the band widens."
                );
            if (take.TimeMap is { } path)
                _page = _page.Figure(LeftPlot(path), LeftWords(take));
            _page = _page.Audio($"{stem.Name}, source", $"sources/{take.Source}");
            foreach (var (retiming, name) in take.Files)
                _page = _page.Audio($"{stem.Name}, {retiming}", $"{takesFolder}/{name}");
        }
    }

    public string ToHtml(IReadOnlyList<string> commands) =>
        (
            _page with
            {
                Blocks =
                [
                    new TextBlock(
                        "In this folder, the following was done; between the first command and the others, each machine was played the send:"
                    ),
                    new CommandsBlock(commands),
                    .. _page.Blocks,
                ],
            }
        )
            .Lead("Four sounds at 84 beats a minute, printed through two simulated machines and brought back to their places.")
            .Footer($"Made by offtape {CommandLine.Version} demo. The machines are simulated; the piece is played by the program.")
            .ToHtml();

    private static PlotModel LeftPlot(ReturnTimeMap map)
    {
        var off = OffTheLine(map);
        var slow = new double[off.Length];
        SlowPart.Of(off, map.SourceSeconds[1] - map.SourceSeconds[0], CornerHz, slow);
        var kept = off.Zip(slow).Select(p => p.First - p.Second).ToArray();
        var reach = Math.Max(0.2, 1.25 * off.Max(Math.Abs));
        return new PlotModel("What is left of the movement", Axis.Clock("source time"), Axis.Linear("late", "ms", -reach, reach)).With(
            new LineSeries("fit", map.SourceSeconds, off) { Ink = InkRole.Ink },
            new LineSeries("steady", map.SourceSeconds, kept) { Ink = InkRole.Accent }
        );
    }

    private static string LeftWords(ReturnTake take)
    {
        string Of(string retiming) =>
            take.GridDistanceMilliseconds.TryGetValue(retiming, out var distance) ? Words.Number(distance, 2) : "an unknown number of";
        return $"How far a moment of the take still is from its place in the song: at most {Of("fit")} ms with one constant ratio (fit), "
            + $"{Of("steady")} ms with the slow part taken out (steady), {Of("lock")} ms with all that can be followed (lock).";
    }

    private static PlotModel TimeMapPlot(ReturnTimeMap map)
    {
        var (x, off) = (map.SourceSeconds, OffTheLine(map));
        // The curve decides how high the plot is, not the band: in silence it grows without end.
        var reach = Math.Max(1, 1.25 * off.Max(Math.Abs));
        return new PlotModel(
            "How far the tape was from the grid",
            Axis.Clock("source time"),
            Axis.Linear("late", "ms", -reach, reach)
        ).With(
            new BandSeries(
                "how sure",
                x,
                [.. off.Zip(map.SigmaMilliseconds).Select(p => p.First - 2 * p.Second)],
                [.. off.Zip(map.SigmaMilliseconds).Select(p => p.First + 2 * p.Second)]
            ),
            new LineSeries("tape", x, off)
        );
    }

    /// <summary>The map off its straight line, ms.</summary>
    private static double[] OffTheLine(ReturnTimeMap map)
    {
        // The straight line through the map by least squares: the mean speed and the mean place.
        var (x, y) = (map.SourceSeconds, map.CaptureSeconds);
        var (meanX, meanY) = (x.Average(), y.Average());
        var slope = x.Zip(y).Sum(p => (p.First - meanX) * (p.Second - meanY)) / x.Sum(v => (v - meanX) * (v - meanX));
        return [.. x.Zip(y).Select(p => (p.Second - meanY - slope * (p.First - meanX)) * 1000)];
    }

    private static PlotModel AttackPlot(DemoStem stem, float[] take, out double startSeconds)
    {
        var (source, rate) = (stem.Channels[0], stem.SampleRateHz);
        var start = AttackFrame(source, rate) - (int)(AttackLeadSeconds * rate);
        var count = Math.Min((int)(AttackSeconds * rate), Math.Min(source.Length, take.Length) - start);
        startSeconds = Math.Max(0, start) / (double)rate;
        Waveform Cut(float[] channel) => Waveform.Of(channel.AsSpan(start, count), rate / 1000.0, -AttackLeadSeconds * 1000, count);
        return new PlotModel("The hardest attack, close up", Axis.Linear("from the attack", "ms"), Axis.Amplitude()).With(
            new WaveformSeries("source", Cut(source)) { Ink = InkRole.Ink },
            new WaveformSeries("take", Cut(take))
        );
    }

    // Where the peak of a few milliseconds stands furthest above all that was heard just before.
    private static int AttackFrame(float[] channel, int sampleRateHz)
    {
        var block = sampleRateHz / 200;
        var peaks = channel.Chunk(block).Select(c => c.Max(Math.Abs)).ToArray();
        var (best, most) = (AttackBlocksBefore, 0f);
        for (var i = AttackBlocksBefore; i + (int)(AttackSeconds * 200) < peaks.Length; i++)
        {
            var rise = peaks[i] - peaks[(i - AttackBlocksBefore)..i].Max();
            if (rise > most)
                (best, most) = (i, rise);
        }
        return best * block;
    }

    private static ReportTable Places(DemoMachine machine, ReturnSheet sheet)
    {
        var table = ReportTable
            .Create("Takes: where each was found in the capture, and how far that is from the machine's own truth")
            .Words("sound")
            .Figures("place, min:s")
            .Figures("speed, %")
            .Figures("wobble, cents")
            .Figures("sure")
            .Figures("off by, ms");
        foreach (var take in sheet.Takes)
        {
            var truth = machine.Takes.First(t => t.Source == take.Source);
            table = table.Row(
                Path.GetFileNameWithoutExtension(take.Source).Replace('-', ' '),
                take.CaptureStartSeconds is { } start ? Words.Clock(start) : "not found",
                take.SpeedRatio is { } ratio ? Words.Signed(Conversions.RatioToPercent(ratio), 2) : "",
                take.WobblePeakCents is { } cents ? Words.Number(cents, 0) : "",
                Words.Number(take.Confidence, 2),
                truth.PlaceErrorMilliseconds is { } error ? Words.Signed(error, 2) : ""
            );
        }
        return table;
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
