using Offtape.Cli.Shell;

namespace Offtape.Cli.Tests;

/// <summary>The line at the foot of a terminal.</summary>
public sealed class ProgressLineTests
{
    private sealed class HandTurnedClock : TimeProvider
    {
        public long Ticks { get; set; }

        public override long TimestampFrequency => TimeSpan.TicksPerSecond;

        public override long GetTimestamp() => Ticks;
    }

    [Fact]
    public void Nothing_is_shown_in_the_first_second_and_a_bar_afterwards()
    {
        var clock = new HandTurnedClock();
        var written = new StringWriter();
        var progress = new ProgressLine(written, true, new Ink(false), clock);
        var job = progress.Begin();
        clock.Ticks = TimeSpan.FromSeconds(0.9).Ticks;
        job.Report("finding", 0.2, "finding 1 of 4");
        Assert.Equal("", written.ToString());
        clock.Ticks = TimeSpan.FromSeconds(10).Ticks;
        job.Report("finding", 0.25, "finding 2 of 4");
        Assert.Equal("\r━━━━━━──────────────────  finding 2 of 4 · 30 s left", written.ToString());
    }

    [Fact]
    public void A_shorter_line_covers_the_longer_one_and_clearing_leaves_nothing()
    {
        var clock = new HandTurnedClock { Ticks = 0 };
        var written = new StringWriter();
        var progress = new ProgressLine(written, true, new Ink(false), clock);
        var job = progress.Begin();
        clock.Ticks = TimeSpan.FromSeconds(2).Ticks;
        job.Report("reading", 0.5, "reading a file with a long name");
        clock.Ticks = TimeSpan.FromSeconds(3).Ticks;
        job.Report("reading", 0.9, "short");
        progress.Clear();
        Assert.Equal("", Screen(written.ToString()).TrimEnd());
    }

    [Fact]
    public void Off_a_terminal_it_is_silent()
    {
        var clock = new HandTurnedClock();
        var written = new StringWriter();
        var job = new ProgressLine(written, false, new Ink(false), clock).Begin();
        clock.Ticks = TimeSpan.FromSeconds(10).Ticks;
        job.Report("finding", 0.25, "finding 2 of 4");
        Assert.Equal("", written.ToString());
    }

    // What stands on the line of a terminal after these characters: a return goes to its start, anything else overwrites.
    private static string Screen(string text)
    {
        var line = new List<char>();
        var at = 0;
        foreach (var c in text)
        {
            if (c == '\r')
            {
                at = 0;
                continue;
            }
            if (at == line.Count)
                line.Add(c);
            else
                line[at] = c;
            at++;
        }
        return new string([.. line]);
    }
}
