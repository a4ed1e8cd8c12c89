using Offtape.Base;
using Offtape.Web.Folders;

namespace Offtape.Web.Tests.Folders;

/// <summary>What is in the studio, and what only looks as if it were.</summary>
public sealed class StudioFolderTests : IDisposable
{
    private readonly string _place = Directory.CreateTempSubdirectory("offtape-studio-").FullName;

    public void Dispose() => Directory.Delete(_place, recursive: true);

    [Fact]
    public void A_link_that_leads_out_is_not_in_the_studio()
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "links need rights on Windows");
        var outside = Directory.CreateDirectory(Path.Combine(_place, "outside")).FullName;
        File.WriteAllText(Path.Combine(outside, "secret.wav"), "secret");
        using var studio = StudioFolder.Open(Path.Combine(_place, "studio"));
        var sources = Directory.CreateDirectory(Path.Combine(studio.Passes, "p", "sources")).FullName;
        File.WriteAllText(Path.Combine(sources, "own.wav"), "own");
        File.CreateSymbolicLink(Path.Combine(sources, "file.wav"), Path.Combine(outside, "secret.wav"));
        Directory.CreateSymbolicLink(Path.Combine(studio.Passes, "folder"), outside);
        File.CreateSymbolicLink(Path.Combine(sources, "twice.wav"), Path.Combine(sources, "file.wav"));
        Directory.CreateSymbolicLink(Path.Combine(studio.Passes, "within"), sources);
        File.CreateSymbolicLink(Path.Combine(sources, "round.wav"), Path.Combine(sources, "round.wav"));

        var shelf = new FileShelf(studio);
        Assert.True(studio.Holds(Path.Combine(sources, "own.wav")));
        Assert.True(studio.Holds(Path.Combine(studio.Passes, "within", "own.wav")));
        Assert.False(studio.Holds(Path.Combine(sources, "file.wav")));
        Assert.False(studio.Holds(Path.Combine(sources, "twice.wav")));
        Assert.False(studio.Holds(Path.Combine(sources, "round.wav")));
        Assert.False(studio.Holds(Path.Combine(studio.Passes, "folder", "secret.wav")));
        Assert.False(studio.Holds(Path.Combine(studio.Root, "..", "outside", "secret.wav")));
        Assert.False(studio.Holds(studio.Root + "-other/a.wav"));
        Assert.False(studio.Holds(Path.Combine(studio.Own, "sessions.json")));
        Assert.Throws<ArgumentException>(() => shelf.IdOf(Path.Combine(sources, "file.wav")));

        // A file that becomes a link after it was shown is not served either.
        var id = shelf.IdOf(Path.Combine(sources, "own.wav"));
        Assert.NotNull(shelf.PathOf(id));
        File.Delete(Path.Combine(sources, "own.wav"));
        File.CreateSymbolicLink(Path.Combine(sources, "own.wav"), Path.Combine(outside, "secret.wav"));
        Assert.Null(shelf.PathOf(id));
    }

    [Fact]
    public void One_program_at_a_time_has_a_studio_open()
    {
        var folder = Path.Combine(_place, "one");
        using (StudioFolder.Open(folder))
            Assert.Equal(ExitCode.OutputUnwritable, Assert.Throws<Fault>(() => StudioFolder.Open(folder)).ExitCode);
        using (StudioFolder.Open(folder)) { }
    }

    [Fact]
    public void What_an_interrupted_run_left_half_written_is_gone_at_the_next_start()
    {
        var folder = Path.Combine(_place, "left");
        string part;
        using (var studio = StudioFolder.Open(folder))
        {
            var pass = Directory.CreateDirectory(Path.Combine(studio.Passes, "p", "sources")).FullName;
            File.WriteAllText(Path.Combine(pass, StudioFolder.PartName()), "half");
            File.WriteAllText(Path.Combine(pass, "whole.wav"), "whole");
            part = Directory.CreateDirectory(Path.Combine(studio.Takes, StudioFolder.PartName(), "lock")).FullName;
            File.WriteAllText(Path.Combine(part, "kit-tape.wav"), "half");
        }
        using (StudioFolder.Open(folder))
        {
            Assert.False(Directory.Exists(part));
            Assert.Equal(
                ["whole.wav"],
                Directory.GetFiles(Path.Combine(folder, "passes"), "*", SearchOption.AllDirectories).Select(Path.GetFileName)
            );
        }
    }

    [Fact]
    public void The_studio_is_what_was_asked_for_else_the_variable_else_the_nearest_marked_parent()
    {
        var deep = Directory.CreateDirectory(Path.Combine(_place, "a", "b", "c")).FullName;
        File.WriteAllText(Path.Combine(_place, "a", StudioChoice.Mark), "");
        Assert.Equal(Path.Combine(deep, "x"), StudioChoice.Find("x", "/y", deep));
        Assert.Equal(Path.GetFullPath("/y"), StudioChoice.Find(null, "/y", deep));
        Assert.Equal(Path.Combine(_place, "a"), StudioChoice.Find(null, null, deep));
        Assert.Equal("Offtape", Path.GetFileName(StudioChoice.Find(null, "", _place)));
    }
}
