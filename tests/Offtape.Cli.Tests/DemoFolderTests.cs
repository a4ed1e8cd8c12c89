using Offtape.Base;
using Offtape.Cli.Tests.Running;
using Offtape.Cli.Verbs.Demo;

namespace Offtape.Cli.Tests;

/// <summary>The demo's folder replaces an earlier demo and nothing else. It moves the working folder, so these tests run alone.</summary>
[Collection(nameof(DemoFolderTests)), CollectionDefinition(nameof(DemoFolderTests), DisableParallelization = true)]
public sealed class DemoFolderTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void An_earlier_demo_is_replaced_and_its_old_files_go()
    {
        Make("old.wav", "both.wav");
        Make("new.wav", "both.wav");
        Assert.Equal(["demo/both.wav", "demo/demo.txt", "demo/new.wav"], _folder.Files);
    }

    [Fact]
    public void A_file_of_the_users_stops_it_and_with_force_stays()
    {
        Make("takes/a.wav");
        _folder.Write("demo/takes/mine.wav", [1]);
        var fault = Assert.Throws<Fault>(() => Make("takes/a.wav"));
        Assert.Equal(ExitCode.OutputUnwritable, fault.ExitCode);
        Assert.Contains("takes/mine.wav", fault.Message, StringComparison.Ordinal);
        Make(force: true, "takes/b.wav");
        Assert.Equal(["demo/demo.txt", "demo/takes/b.wav", "demo/takes/mine.wav"], _folder.Files);
    }

    [Fact]
    public void A_list_that_reaches_outside_the_folder_is_not_believed()
    {
        _folder.Write("precious.wav", [1]);
        Make("a.wav");
        var list = _folder[$"demo/{DemoFolder.ListName}"];
        File.AppendAllText(list, "../precious.wav\n");
        Assert.Throws<Fault>(() => Make("a.wav"));
        Make(force: true, "a.wav");
        Assert.Contains("precious.wav", _folder.Files);
    }

    [Fact]
    public void Left_before_it_is_whole_nothing_stays()
    {
        var before = Environment.CurrentDirectory;
        using (DemoFolder.Begin(_folder["demo"], false))
            File.WriteAllText("half.wav", "half");
        Assert.Empty(Directory.GetFileSystemEntries(_folder.Path));
        Assert.Equal(before, Environment.CurrentDirectory);
    }

    private void Make(params string[] files) => Make(false, files);

    private void Make(bool force, params string[] files)
    {
        using var demo = DemoFolder.Begin(_folder["demo"], force);
        foreach (var file in files)
        {
            Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(file))!);
            File.WriteAllText(file, file);
        }
        demo.Complete();
    }
}
