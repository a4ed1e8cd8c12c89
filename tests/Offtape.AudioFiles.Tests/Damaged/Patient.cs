using Offtape.Base;

namespace Offtape.AudioFiles.Tests;

/// <summary>A broken file put in front of the reader.</summary>
internal sealed class Patient : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    /// <summary>It is read, with one notice that says this; its 16-bit samples are 1, 2, 3 … as far as they go.</summary>
    public void IsReadWithOneNotice(byte[] file, int frameCount, string says, int firstSample = 1)
    {
        using var reader = AudioFile.Open(_folder.Put("take 3.wav", file));
        var notice = Assert.Single(reader.Notices);
        Assert.Equal("damaged-file", notice.Code);
        Assert.Contains(says, notice.Text, StringComparison.Ordinal);
        Assert.StartsWith("\"take 3.wav\"", notice.Text, StringComparison.Ordinal);
        Assert.EndsWith(".", notice.Text, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', notice.Text);
        AssertRamp(reader, frameCount, firstSample);
        // The notice is the same after reading.
        Assert.Equal([notice], reader.Notices);
    }

    /// <summary>It is read without a word.</summary>
    public void IsReadInSilence(byte[] file, int frameCount)
    {
        using var reader = AudioFile.Open(_folder.Put("take 3.wav", file));
        Assert.Empty(reader.Notices);
        AssertRamp(reader, frameCount, 1);
    }

    /// <summary>It is refused in one line, at this byte.</summary>
    public void IsRefused(byte[] file, string says, long? byteOffset)
    {
        var path = _folder.Put("take 3.wav", file);
        var fault = Assert.Throws<Fault>(() => AudioFile.Open(path));
        Assert.Equal(ExitCode.InputUnreadable, fault.ExitCode);
        Assert.Equal(path, fault.File);
        Assert.Contains(says, fault.Message, StringComparison.Ordinal);
        Assert.StartsWith("Cannot read \"take 3.wav\": ", fault.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', fault.Message);
        Assert.Equal(byteOffset, fault.ByteOffset);
        // Nothing holds the file open.
        File.Delete(path);
    }

    private static void AssertRamp(IAudioReader reader, int frameCount, int firstSample)
    {
        Assert.Equal(frameCount, reader.FrameCount);
        var values = reader.ReadAllExact();
        Assert.Equal(Enumerable.Range(firstSample, values.Length).Select(i => i / 32_768.0), values);
    }
}
