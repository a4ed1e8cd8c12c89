using Offtape.Base;
using Offtape.Testing;

namespace Offtape.Passes.Tests;

/// <summary>What is told before a send is made is what the send then is.</summary>
public sealed class OutlineTests : IDisposable
{
    private readonly SendBench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Theory, InlineData(SendLayout.Serial, false), InlineData(SendLayout.Serial, true), InlineData(SendLayout.Parallel, true)]
    public void An_outline_tells_the_places_of_the_send_that_is_made_of_it(SendLayout layout, bool lineUp)
    {
        var request = _bench.Request(
            _bench.Source("a.wav", 1.25),
            _bench.Source("b.wav", 2.5, sampleRateHz: 44_100),
            _bench.Source("c.wav", 0.75, channelCount: 2)
        ) with
        {
            Layout = layout,
            LineUp = lineUp,
            SpeedCmPerSecond = 9.525,
            SideMinutes = 5,
        };
        var outline = SendOutline.Of([new("a.wav", 60_000, 48_000), new("b.wav", 110_250, 44_100), new("c.wav", 36_000, 48_000)], request);
        var made = _bench.Run(request);
        Assert.Equal(made.Sheet.Items.Select(i => (i.Source, i.StartSeconds)), outline.Items.Select(i => (i.Name, i.StartSeconds)));
        Assert.Equal(made.Sheet.Slates.Select(s => s.StartSeconds), outline.Slates.Select(s => s.StartSeconds));
        Assert.Equal(made.Sheet.LineUp?.StartSeconds, outline.Tone?.StartSeconds);
        Assert.Equal(made.Sheet.LengthSeconds, outline.LengthSeconds);
        Assert.Equal(made.Side.NeededSeconds, outline.Side.NeededSeconds);
        Assert.Equal(made.Side.TapeMetres, outline.Side.TapeMetres);
        // The run read off the sheet alone is the run that was told when it was made.
        Assert.Equal(made.Steps, RunSteps.For(made.Sheet));
    }

    /// <summary>8 s lead, 20 s, 1 s at the end without slates, and 5 s blank on either side: 39 s by hand.</summary>
    [Fact]
    public void What_does_not_fit_is_told_before_anything_is_read()
    {
        var request = new SendRequest
        {
            Sources = ["not-there.wav"],
            TargetFolder = _bench.Target,
            Slates = false,
            SideMinutes = 0.5,
        };
        var outline = SendOutline.Of([new("not-there.wav", 160_000, 8_000)], request);
        Assert.False(outline.Side.Fits);
        Measured.Within(39, outline.Side.NeededSeconds, 1e-9, "seconds needed");
        Assert.Equal(
            ExitCode.Usage,
            Assert.Throws<Fault>(() => SendOutline.Of([new("a.wav", 1, 48_000)], request with { LevelDbfs = 3 })).ExitCode
        );
    }
}
