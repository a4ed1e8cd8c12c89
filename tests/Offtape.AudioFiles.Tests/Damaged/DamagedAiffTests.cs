using static Offtape.AudioFiles.Tests.Iff;

namespace Offtape.AudioFiles.Tests;

/// <summary>Broken AIFF and AIFC files. The audio is 16-bit stereo, 1, 2, 3 ….</summary>
public sealed class DamagedAiffTests : IDisposable
{
    private const long AllOnes = 0xFFFF_FFFF;

    private readonly Patient _patient = new();

    public void Dispose() => _patient.Dispose();

    [Fact]
    public void Sound() => _patient.IsReadInSilence(Form("AIFF", Comm(10), Ssnd(Ramp(20))), 10);

    [Fact]
    public void Audio_before_the_format() => _patient.IsReadInSilence(Form("AIFF", Ssnd(Ramp(20)), Comm(10)), 10);

    [Theory]
    [InlineData(0, 0L)]
    [InlineData(0, 8L)]
    [InlineData(0, AllOnes)]
    [InlineData(AllOnes, 8L)]
    [InlineData(0, 48L)]
    public void Recorder_died(long frames, long soundSize) =>
        _patient.IsReadWithOneNotice(Form("AIFF", Comm(frames), Ssnd(Ramp(20), soundSize)), 10, "was never closed");

    [Fact]
    public void Audio_cut_off() =>
        _patient.IsReadWithOneNotice(Form("AIFF", Comm(100), Ssnd(Ramp(20), 408)), 10, "says it holds 408 bytes and the file is 48");

    [Fact]
    public void Frames_more_than_the_audio() =>
        _patient.IsReadWithOneNotice(Form("AIFF", Comm(11), Ssnd(Ramp(20))), 10, "says it holds 44 bytes");

    [Fact]
    public void Frames_fewer_than_the_audio() =>
        _patient.IsReadWithOneNotice(Form("AIFF", Comm(3), Ssnd(Ramp(20))), 10, "says it holds 12 bytes and its audio goes on");

    [Fact]
    public void Blocks_that_are_filled_up_are_no_fault() =>
        _patient.IsReadInSilence(Form("AIFF", Comm(10), Ssnd(Ramp(32), blockSize: 64)), 10);

    [Fact]
    public void Offset_into_the_audio_is_no_fault() =>
        _patient.IsReadInSilence(Form("AIFF", Comm(10), Ssnd(Riff.Join([9, 9, 9, 9, 9, 9], Ramp(20)), offset: 6)), 10);

    [Fact]
    public void Offset_beyond_the_audio() =>
        _patient.IsReadWithOneNotice(Form("AIFF", Comm(10), Ssnd(Ramp(20), offset: 4_000_000_000)), 10, "begins after its end");

    [Fact]
    public void Junk_after_the_end() =>
        _patient.IsReadWithOneNotice(
            Riff.Join(Form("AIFF", Comm(10), Ssnd(Ramp(20))), [1, 2, 3, 4]),
            10,
            "goes on after its end with 4 bytes"
        );

    [Fact]
    public void No_format_chunk() => _patient.IsRefused(Form("AIFF", Ssnd(Ramp(20))), "no \"COMM\" chunk", 68);

    [Fact]
    public void No_audio_chunk() => _patient.IsRefused(Form("AIFF", Comm(10)), "no \"SSND\" chunk", 38);

    [Fact]
    public void Zero_length_audio() => _patient.IsRefused(Form("AIFF", Comm(0), Ssnd([])), "its length is zero", 54);

    [Fact]
    public void Format_cut_off() =>
        _patient.IsRefused(Form("AIFF", Chunk("COMM", new byte[10]), Ssnd(Ramp(20))), "its format is cut off", 20);

    [Theory]
    [InlineData(new byte[] { 0x7F, 0xFF, 0xC0, 0, 0, 0, 0, 0, 0, 0 })]
    [InlineData(new byte[] { 0x7F, 0xFF, 0x80, 0, 0, 0, 0, 0, 0, 0 })]
    [InlineData(new byte[] { 0xC0, 0x0E, 0xAC, 0x44, 0, 0, 0, 0, 0, 0 })]
    [InlineData(new byte[] { 0, 0, 0, 0, 0, 0, 0, 0, 0, 0 })]
    [InlineData(new byte[] { 0x7F, 0xFE, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF })]
    public void Impossible_rates(byte[] rate) =>
        _patient.IsRefused(Form("AIFF", Comm(10, rate: rate), Ssnd(Ramp(20))), "it says its sample rate is", 28);

    /// <summary>22 254.5454… Hz, the rate of old Macintosh sound: 400D ADDD 1745 D174 5D17.</summary>
    [Fact]
    public void A_rate_with_a_fraction() =>
        _patient.IsReadWithOneNotice(
            Form("AIFF", Comm(10, rate: [0x40, 0x0D, 0xAD, 0xDD, 0x17, 0x45, 0xD1, 0x74, 0x5D, 0x17]), Ssnd(Ramp(20))),
            10,
            "has a sample rate of 22254.545455 Hz. It is taken as 22255 Hz."
        );

    [Fact]
    public void Coded_audio() => _patient.IsRefused(Form("AIFC", AifcComm("ima4", 10), Ssnd(Ramp(20))), "\"ima4\", which is not read", 38);

    [Theory]
    [InlineData(0)]
    [InlineData(33)]
    public void Impossible_bits(int bits) =>
        _patient.IsRefused(Form("AIFF", Comm(10, bits: bits), Ssnd(Ramp(20))), "bits, which is not read", 26);

    /// <summary>Markers that count more than they hold, and an instrument that is cut short.</summary>
    [Fact]
    public void Lists_that_count_more_than_they_hold() =>
        _patient.IsReadInSilence(
            Form("AIFF", Chunk("MARK", 0xFF, 0xFF, 0, 1, 0, 0, 0, 0, 200, 1), Chunk("INST", 1, 2), Comm(10), Ssnd(Ramp(20))),
            10
        );

    /// <summary>The kinds of samples that AIFC files say and that no outside writer at hand makes: built by hand, one value each.</summary>
    [Theory]
    [InlineData("in24", new byte[] { 0x40, 0, 0 }, 16)]
    [InlineData("42ni", new byte[] { 0, 0, 0x40 }, 16)]
    [InlineData("in32", new byte[] { 0x40, 0, 0, 0 }, 16)]
    [InlineData("23ni", new byte[] { 0, 0, 0, 0x40 }, 16)]
    [InlineData("twos", new byte[] { 0x40, 0 }, 16)]
    [InlineData("sowt", new byte[] { 0, 0x40 }, 16)]
    [InlineData("sowt", new byte[] { 0x40 }, 8)]
    [InlineData("raw ", new byte[] { 0xC0 }, 8)]
    [InlineData("FL32", new byte[] { 0x3F, 0, 0, 0 }, 32)]
    [InlineData("FL64", new byte[] { 0x3F, 0xE0, 0, 0, 0, 0, 0, 0 }, 64)]
    public void Kinds_of_samples(string kind, byte[] half, int bits)
    {
        using var folder = new TempFolder();
        using var reader = AudioFile.Open(folder.Put("a.aif", Form("AIFC", AifcComm(kind, 1, bits: bits), Ssnd(half))));
        Assert.Empty(reader.Notices);
        Assert.Equal([0.5], reader.ReadAllExact());
        Assert.Equal([0.5f], reader.ReadAll());
    }
}
