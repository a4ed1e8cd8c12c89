using Offtape.Studio.Writer;

namespace Offtape.Studio.Tests.Store;

/// <summary>
/// A tenth of the trial that perf/results/studio.md tells of: a process that writes is killed without warning at random moments. SQLite's own
/// check, and what the process had said to be safe, are the judges.
/// </summary>
public sealed class KilledWriterTests
{
    private const int Rounds = 20;

    [Fact]
    public void A_writer_that_is_killed_leaves_a_sound_database_and_nothing_half_recorded()
    {
        using var studio = new TemporaryStudio();
        var said = 0;
        for (var round = 0; round < Rounds; round++)
        {
            // Every fourth begins a studio of its own, and may be killed while it makes the database.
            var isFresh = round % 4 == 3;
            var outcome = KillTrial.Run(isFresh ? studio[$"fresh{round}"] : studio.Folder, round + 1, whileWriting: !isFresh);
            Assert.Empty(outcome.Faults);
            said += outcome.Said;
        }
        Assert.True(said > Rounds, $"only {said} writes: the moments fell before the writing");
    }

    [Fact]
    public void A_half_pass_is_told()
    {
        using var studio = new TemporaryStudio();
        using var store = studio.Open();
        new InventedPasses(1).Fill(store, 3);
        Assert.Empty(InventedPasses.Halves(store));
        store.Write(c => Dapper.SqlMapper.Execute(c, "DELETE FROM sendItems WHERE sendId = 2 AND position = 0"));
        Assert.Single(InventedPasses.Halves(store));
        store.Write(c => Dapper.SqlMapper.Execute(c, "DELETE FROM takeFiles WHERE takeId = 1"));
        Assert.Equal(2, InventedPasses.Halves(store).Count);
    }

    [Fact]
    public void Two_that_write_at_once_both_get_through()
    {
        using var studio = new TemporaryStudio();
        studio.Open().Dispose();
        const int each = 40;
        Parallel.For(
            0,
            2,
            new ParallelOptions { MaxDegreeOfParallelism = 2 },
            i =>
            {
                using var store = studio.Open();
                var passes = new InventedPasses(100 + i);
                for (var n = 0; n < each; n++)
                {
                    passes.Send(store);
                    passes.Return(store);
                }
            }
        );
        using var after = studio.Open();
        Assert.Empty(after.IntegrityFaults());
        Assert.Empty(InventedPasses.Halves(after));
        Assert.Equal(2 * each, InventedPasses.Present(after).Returns.Count);
    }

    [Fact]
    public void One_that_is_kept_waiting_too_long_says_so()
    {
        using var studio = new TemporaryStudio();
        using var first = studio.Open();
        using var second = studio.Open();
        var fault = first.Write(c =>
        {
            Dapper.SqlMapper.Execute(c, "INSERT INTO machines (name, addedAt) VALUES ('deck', '2026-01-01T00:00:00Z')");
            // Reading goes on while another writes.
            Assert.Equal(0, second.Read(r => Dapper.SqlMapper.ExecuteScalar<int>(r, "SELECT count(*) FROM machines")));
            return Assert.Throws<Base.Fault>(() => new InventedPasses(5).Send(second));
        });
        Assert.Equal(Base.ExitCode.OutputUnwritable, fault.ExitCode);
        Assert.Contains("more than 5 s", fault.Message, StringComparison.Ordinal);
        Assert.Equal(1, second.Read(r => Dapper.SqlMapper.ExecuteScalar<int>(r, "SELECT count(*) FROM machines")));
    }
}
