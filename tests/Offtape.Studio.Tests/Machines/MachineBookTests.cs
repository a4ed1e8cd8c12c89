using Offtape.Base;
using Offtape.Bench;
using Offtape.Studio.Tests.Store;
using Offtape.Studio.Writer;
using Offtape.Testing;

namespace Offtape.Studio.Tests.Machines;

/// <summary>The book of a machine: benches become trends, hours add up, and what is due is told with its cautions.</summary>
public sealed class MachineBookTests
{
    private static readonly DateTime Now = new(2026, 5, 31, 12, 0, 0, DateTimeKind.Utc);

    [Fact]
    public void A_machine_is_completed_by_what_is_said_later()
    {
        using var studio = new TemporaryStudio();
        using var store = studio.Open();
        var book = new MachineBook(store);
        Assert.True(book.Put(new MachineEntry { Name = "Deck", Kind = "reel" }, Now));
        Assert.False(book.Put(new MachineEntry { Name = "deck", HeadDistanceMm = 38.1 }, Now));
        var machine = book.Find("DECK").Machine;
        Assert.Equal(("Deck", "reel", 38.1), (machine.Name, machine.Kind, machine.HeadDistanceMm));
        var fault = Assert.Throws<Fault>(() => book.Find("other"));
        Assert.Contains("It has Deck", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Benches_tell_a_change_only_beyond_its_uncertainty()
    {
        using var studio = new TemporaryStudio();
        using var store = studio.Open();
        Bench(studio, store, "2026-01-01", HowTaken.Rewound, ("weightedTwoSigma", 0.10, 0.01), ("balance", 0.10, 0.3), ("hum", -60, null));
        Bench(studio, store, "2026-03-02", HowTaken.Rewound, ("weightedTwoSigma", 0.16, 0.01), ("balance", 0.20, 0.3), ("hum", -50, null));
        // Read another way: not to be compared with the others.
        Bench(studio, store, "2026-04-02", HowTaken.ForeignTape, ("weightedTwoSigma", 0.50, 0.01));
        var view = new MachineBook(store).Find("deck");
        Assert.Equal(3, view.Benches.Count);
        var flutter = view.Trends.Single(t => t.Quantity == "weightedTwoSigma");
        Measured.Within(0.06, flutter.Change!.Value, 1e-12);
        Measured.Within(Math.Sqrt(2) * 0.01, flutter.ChangeUncertainty!.Value, 1e-12);
        Assert.Equal((60, true), (flutter.SpanDays, flutter.IsChange));
        Assert.False(view.Trends.Single(t => t.Quantity == "balance").IsChange);
        var hum = view.Trends.Single(t => t.Quantity == "hum");
        Assert.Null(hum.Change);
        Assert.Contains("third bench", hum.Reason, StringComparison.Ordinal);
        var rubber = view.Upkeep.Single(u => u.Task == "rubber");
        Assert.True(rubber.IsDue);
        Assert.Equal(["wow and flutter has grown"], rubber.Findings);
        // Once seen to, the same finding asks no more.
        new MachineBook(store).AddUpkeep("deck", "rubber", "2026-03-05T00:00:00Z", "new belt");
        Assert.False(new MachineBook(store).Find("deck").Upkeep.Single(u => u.Task == "rubber").IsDue);
    }

    [Fact]
    public void The_same_report_again_is_the_same_bench()
    {
        using var studio = new TemporaryStudio();
        using var store = studio.Open();
        var path = Bench(studio, store, "2026-01-01", HowTaken.Rewound, ("drift", 0.1, 0.01));
        new StudioLog(store).Bench(path, [], TestContext.Current.CancellationToken);
        Assert.Single(new MachineBook(store).Find("deck").Benches);
    }

    [Fact]
    public void Hours_are_those_of_passes_that_came_back_and_what_is_added()
    {
        using var studio = new TemporaryStudio();
        using var store = studio.Open();
        var passes = new InventedPasses(4);
        passes.Send(store);
        passes.Return(store);
        // The same capture brought in again is no further run; a pass that did not come back is none.
        store.Write(c =>
            Dapper.SqlMapper.Execute(
                c,
                """
                INSERT INTO returns (id, at, sheetFileId, retime) SELECT 99, at, sheetFileId, 'lock' FROM returns;
                INSERT INTO returnPasses SELECT 99, position, captureId, passId, number, captureStartSeconds, captureEndSeconds, speedRatio, reversed, complete
                    FROM returnPasses;
                """
            )
        );
        passes.Send(store);
        var came = new LogSearch(store).Passes(new PassFilter()).Single(p => p.ReturnCount == 2);
        var machine = came.Machine!;
        var book = new MachineBook(store);
        book.Put(new MachineEntry { Name = machine, HoursWhenAdded = 100 }, Now);
        book.AddHours(machine, 2.5, "2026-05-31T00:00:00Z", "listening");
        var hours = book.Find(machine).Hours;
        Assert.Equal((100, 2.5), (hours.Before, hours.Typed));
        Measured.Within(came.LengthSeconds / 3600, hours.Recording, 1e-12);
        Measured.Within(came.LengthSeconds / 3600, hours.Replaying, 1e-12);
        book.Put(new MachineEntry { Name = machine, Monitoring = "off-tape" }, Now);
        Assert.Equal(0, book.Find(machine).Hours.Replaying);
    }

    [Fact]
    public void What_is_due_by_hours_is_due_again_after_as_many()
    {
        using var studio = new TemporaryStudio();
        using var store = studio.Open();
        var book = new MachineBook(store);
        book.Put(new MachineEntry { Name = "deck", HoursWhenAdded = 9 }, Now);
        Assert.False(Cleaning(book).IsDue);
        book.AddHours("deck", 1, "2026-05-01T00:00:00Z", "");
        Assert.True(Cleaning(book).IsDue);
        book.AddUpkeep("deck", "clean-path", "2026-05-02T00:00:00Z", "");
        Assert.Equal((false, 0, "2026-05-02"), (Cleaning(book).IsDue, Cleaning(book).HoursSince, Cleaning(book).LastDone));
        book.AddHours("deck", 10, "2026-05-03T00:00:00Z", "");
        Assert.True(Cleaning(book).IsDue);
    }

    /// <summary>What must be said where the hand is, whatever else is.</summary>
    [Theory]
    [InlineData("clean-path", "mains plug", "burns", "fingers")]
    [InlineData("demagnetise", "off", "pacemaker", "metre away")]
    [InlineData("azimuth", "fingers", "headphones", "service job")]
    [InlineData("rubber", "licensed", "capacitors", "local code")]
    [InlineData("service", "licensed", "Never lift or cut a safety earth", "local code")]
    [InlineData("hum", "Never lift a safety earth", "patch check", "plug")]
    public void Each_task_carries_its_cautions(string task, params string[] words)
    {
        var text = string.Join(' ', UpkeepTask.Find(task)!.Cautions);
        Assert.All(words, w => Assert.Contains(w, text, StringComparison.OrdinalIgnoreCase));
    }

    private static UpkeepDue Cleaning(MachineBook book) => book.Find("deck").Upkeep.Single(u => u.Task == "clean-path");

    private static string Bench(
        TemporaryStudio studio,
        StudioStore store,
        string day,
        HowTaken how,
        params (string Quantity, double Value, double? Uncertainty)[] readings
    )
    {
        var path = studio[$"bench/{day}/bench.json"];
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        new BenchReport
        {
            Machine = "deck",
            How = how,
            Date = day,
            Capture = "capture.wav",
            SheetId = "usual",
            OperatingLevelDbfs = -12,
            Facts = new ReportFacts(),
            Runs = [],
            Parts = [],
            Readings =
            [
                .. readings.Select(r => new Reading
                {
                    Quantity = r.Quantity,
                    Value = r.Value,
                    Uncertainty = r.Uncertainty,
                    Unit = "%",
                    Method = "invented",
                }),
            ],
            Curves = [],
            Notices = [],
            Summary = "invented",
        }.Save(path);
        new StudioLog(store).Bench(path, [], TestContext.Current.CancellationToken);
        return path;
    }
}
