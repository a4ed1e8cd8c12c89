using Offtape.Base;

namespace Offtape.AudioFiles.Tests;

/// <summary>A file is there whole, or not at all.</summary>
public sealed class SafeFileTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_text_is_written_as_plain_UTF_8()
    {
        SafeFile.WriteText(_folder["a.json"], "{ \"µ\": 1 }\n", replace: false);
        Assert.Equal("{ \"µ\": 1 }\n"u8.ToArray(), File.ReadAllBytes(_folder["a.json"]));
        Assert.Equal(["a.json"], _folder.Names);
    }

    [Fact]
    public void An_existing_file_is_refused_before_anything_is_written()
    {
        _folder.Put("a.json", [1]);
        var fault = Assert.Throws<Fault>(() => SafeFile.WriteText(_folder["a.json"], "new", replace: false));
        Assert.Equal(ExitCode.OutputUnwritable, fault.ExitCode);
        Assert.Equal("Cannot write \"a.json\": it exists already. Use --force to replace it.", fault.Message);
        Assert.Equal([1], File.ReadAllBytes(_folder["a.json"]));
        Assert.Equal(["a.json"], _folder.Names);
    }

    [Fact]
    public void An_existing_file_is_replaced_where_that_is_asked_for()
    {
        _folder.Put("a.json", [1]);
        SafeFile.WriteText(_folder["a.json"], "new", replace: true);
        Assert.Equal("new", File.ReadAllText(_folder["a.json"]));
        Assert.Equal(["a.json"], _folder.Names);
    }

    [Fact]
    public void Until_it_is_complete_it_is_not_there()
    {
        _folder.Put("a.bin", [1]);
        using (var pending = SafeFile.Create(_folder["a.bin"], replace: true))
        {
            pending.Stream.Write([1, 2, 3]);
            pending.Stream.Flush();
            Assert.Equal([1], File.ReadAllBytes(_folder["a.bin"]));
            // Under a hidden name, in the same folder, so that the rename cannot cross disks.
            Assert.Equal([Path.GetFileName(pending.TemporaryPath), "a.bin"], _folder.Names);
            Assert.StartsWith(".", Path.GetFileName(pending.TemporaryPath), StringComparison.Ordinal);
            Assert.False(AudioFile.IsAudioName(pending.TemporaryPath));
            pending.Complete();
            Assert.Equal([1, 2, 3], File.ReadAllBytes(_folder["a.bin"]));
            Assert.Throws<ObjectDisposedException>(pending.Complete);
        }
        Assert.Equal(["a.bin"], _folder.Names);
    }

    [Fact]
    public void A_writer_that_fails_leaves_nothing()
    {
        Assert.Throws<OperationCanceledException>(() =>
            SafeFile.Write(
                _folder["a.svg"],
                replace: false,
                stream =>
                {
                    stream.Write(new byte[200_000]);
                    throw new OperationCanceledException();
                }
            )
        );
        Assert.Empty(_folder.Names);
    }

    [Fact]
    public void A_file_that_came_into_being_meanwhile_is_not_overwritten()
    {
        using var pending = SafeFile.Create(_folder["a.bin"], replace: false);
        pending.Stream.Write([1, 2, 3]);
        _folder.Put("a.bin", [7]);
        var fault = Assert.Throws<Fault>(pending.Complete);
        Assert.Contains("it exists already", fault.Message, StringComparison.Ordinal);
        Assert.Equal([7], File.ReadAllBytes(_folder["a.bin"]));
        Assert.Equal(["a.bin"], _folder.Names);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void A_folder_of_that_name_is_refused(bool replace)
    {
        Directory.CreateDirectory(_folder["a.bin"]);
        var fault = Assert.Throws<Fault>(() => SafeFile.Create(_folder["a.bin"], replace));
        Assert.Contains("there is a folder of that name", fault.Message, StringComparison.Ordinal);
        Assert.Equal(["a.bin"], _folder.Names);
    }

    [Fact]
    public void A_link_that_leads_nowhere_counts_as_existing()
    {
        File.CreateSymbolicLink(_folder["a.bin"], _folder["gone"]);
        Assert.Throws<Fault>(() => SafeFile.Create(_folder["a.bin"], replace: false));
        SafeFile.WriteText(_folder["a.bin"], "x", replace: true);
        Assert.Equal(["a.bin"], _folder.Names);
    }

    [Fact]
    public void A_folder_that_is_not_there() =>
        Fails("its folder does not exist", path => SafeFile.WriteText(Path.Combine(path, "b"), "x", replace: false));

    [Fact]
    public void A_name_as_long_as_the_file_system_allows()
    {
        var name = new string('n', 251) + ".txt";
        SafeFile.WriteText(_folder[name], "x", replace: false);
        Assert.Equal([name], _folder.Names);
    }

    [Theory]
    [InlineData(FailingStream.NoSpaceLeft, "the disk is full")]
    [InlineData(FailingStream.ReadOnlyFileSystem, "the folder is read-only")]
    [InlineData(FailingStream.FileTooLarge, "the disk is full, or can hold no file of that size")]
    [InlineData(FailingStream.InputOutputError, "The disk says no")]
    public void An_error_of_the_disk_is_told_with_the_name_that_was_asked_for(int errorNumber, string says)
    {
        using (var pending = PendingFile.Create(_folder["a.bin"], replace: false, path => new FailingStream(path, 100, errorNumber)))
        {
            pending.Stream.Write(new byte[100]);
            var fault = Assert.Throws<Fault>(() => pending.Stream.Write([1]));
            Assert.Equal(ExitCode.OutputUnwritable, fault.ExitCode);
            Assert.Contains("\"a.bin\": " + says, fault.Message, StringComparison.Ordinal);
        }
        Assert.Empty(_folder.Names);
    }

    /// <summary>A folder that is read-only is found out when the temporary file is opened.</summary>
    [Theory]
    [InlineData(FailingStream.ReadOnlyFileSystem, "the folder is read-only")]
    [InlineData(FailingStream.NoSpaceLeft, "the disk is full")]
    public void An_error_at_the_start(int errorNumber, string says)
    {
        var fault = Assert.Throws<Fault>(() =>
            PendingFile.Create(_folder["a.bin"], replace: false, _ => throw new IOException("No.", errorNumber))
        );
        Assert.Contains(says, fault.Message, StringComparison.Ordinal);
        Assert.Empty(_folder.Names);
    }

    /// <summary>The kernel's own full disk: every write to /dev/full fails with ENOSPC.</summary>
    [Fact]
    public void A_full_disk_as_the_kernel_tells_it()
    {
        Assert.SkipUnless(File.Exists("/dev/full"), "Needs /dev/full.");
        using var pending = PendingFile.Create(
            _folder["a.bin"],
            replace: false,
            _ => new FileStream("/dev/full", FileMode.Open, FileAccess.Write, FileShare.ReadWrite, bufferSize: 0)
        );
        var fault = Assert.Throws<Fault>(() => pending.Stream.Write([1]));
        Assert.Contains("the disk is full", fault.Message, StringComparison.Ordinal);
    }

    private void Fails(string says, Action<string> write)
    {
        var fault = Assert.Throws<Fault>(() => write(_folder["a"]));
        Assert.Equal(ExitCode.OutputUnwritable, fault.ExitCode);
        Assert.Contains(says, fault.Message, StringComparison.Ordinal);
        Assert.Empty(_folder.Names);
    }
}
