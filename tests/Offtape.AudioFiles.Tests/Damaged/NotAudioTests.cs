using System.Text;
using Offtape.Base;
using static Offtape.AudioFiles.Tests.Riff;

namespace Offtape.AudioFiles.Tests;

/// <summary>What is no audio file, and what is one under another name.</summary>
public sealed class NotAudioTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_text_called_wav() =>
        Refused(_folder.Put("notes.wav", "These are notes, and no sound."u8.ToArray()), "it is not an audio file", 0);

    [Fact]
    public void A_text_in_UTF_16_is_not_taken_for_MP3() =>
        Refused(_folder.Put("notes.wav", [0xFF, 0xFE, .. Encoding.Unicode.GetBytes("Abend and more words")]), "it is not an audio file", 0);

    [Fact]
    public void An_empty_file() => Refused(_folder.Put("a.wav", []), "it is empty", 0);

    [Fact]
    public void A_few_bytes() => Refused(_folder.Put("a.wav", "RIFF"u8.ToArray()), "it is not an audio file", 0);

    [Fact]
    public void A_RIFF_that_is_no_WAVE() =>
        Refused(_folder.Put("a.wav", [.. "RIFF"u8, 4, 0, 0, 0, .. "AVI "u8]), "it is not an audio file", 0);

    [Fact]
    public void No_such_file() => Refused(_folder["none.wav"], "there is no such file", null);

    [Fact]
    public void No_such_folder() => Refused(_folder["none/none.wav"], "there is no such file", null);

    [Fact]
    public void A_folder()
    {
        Directory.CreateDirectory(_folder["a.wav"]);
        Refused(_folder["a.wav"], "it is a folder", null);
    }

    [Fact]
    public void A_file_that_may_not_be_read()
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "Windows keeps its permissions elsewhere.");
        var path = _folder.Put("a.wav", Wave(Fmt(), Chunk("data", Ramp(2))));
        if (!OperatingSystem.IsWindows())
            File.SetUnixFileMode(path, UnixFileMode.None);
        using var _ = FileUser.Ordinary(_folder[""]);
        Refused(path, "it may not be read", null);
    }

    [Theory]
    [InlineData("wav in aif.aif", AudioContainer.Wav)]
    [InlineData("wav in flac.flac", AudioContainer.Wav)]
    [InlineData("no ending", AudioContainer.Wav)]
    public void The_content_decides(string name, AudioContainer container)
    {
        using var reader = AudioFile.Open(_folder.Put(name, Wave(Fmt(), Chunk("data", Ramp(4)))));
        Assert.Equal(container, reader.Container);
        Assert.Equal(2, reader.FrameCount);
        Assert.Equal(_folder[name], reader.Path);
    }

    [Fact]
    public void An_aiff_called_wav_is_an_aiff()
    {
        using var reader = AudioFile.Open(_folder.Put("a.wav", Iff.Form("AIFF", Iff.Comm(2), Iff.Ssnd(Iff.Ramp(4)))));
        Assert.Equal(AudioContainer.Aiff, reader.Container);
    }

    [Theory]
    [InlineData("a.wav", true)]
    [InlineData("a.WAV", true)]
    [InlineData("dir.x/a.Flac", true)]
    [InlineData("a.opus", true)]
    [InlineData("a.txt", false)]
    [InlineData("wav", false)]
    [InlineData("._a.wav", false)]
    [InlineData(".hidden.wav", false)]
    public void Names_of_audio_files(string name, bool isAudio) => Assert.Equal(isAudio, AudioFile.IsAudioName(name));

    /// <summary>A file that is made shorter while it is read.</summary>
    [Fact]
    public void A_file_that_shrinks()
    {
        var path = _folder.Put("a.wav", Wave(Fmt(), Chunk("data", Ramp(2_000))));
        using var reader = AudioFile.Open(path);
        using (var other = new FileStream(path, FileMode.Open, FileAccess.Write, FileShare.ReadWrite))
            other.SetLength(1_000);
        var fault = Assert.Throws<Fault>(() => reader.ReadAll());
        Assert.Equal(ExitCode.InputUnreadable, fault.ExitCode);
        Assert.Equal(1_000, fault.ByteOffset);
    }

    private static void Refused(string path, string says, long? byteOffset)
    {
        var fault = Assert.Throws<Fault>(() => AudioFile.Open(path));
        Assert.Equal(ExitCode.InputUnreadable, fault.ExitCode);
        Assert.Contains(says, fault.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', fault.Message);
        Assert.Equal(byteOffset, fault.ByteOffset);
    }
}
