using static Offtape.AudioFiles.Tests.Riff;

namespace Offtape.AudioFiles.Tests;

/// <summary>Broken WAV files, built byte by byte; each test's name is the fault. The audio is 16-bit stereo, 1, 2, 3 ….</summary>
public sealed class DamagedWaveTests : IDisposable
{
    private const long AllOnes = 0xFFFF_FFFF;

    private readonly Patient _patient = new();

    public void Dispose() => _patient.Dispose();

    [Fact]
    public void Sound() => _patient.IsReadInSilence(Wave(Fmt(), Chunk("data", Ramp(20))), 10);

    [Theory]
    [InlineData(0, 0)]
    [InlineData(AllOnes, AllOnes)]
    [InlineData(36, 0)]
    [InlineData(0, AllOnes)]
    [InlineData(AllOnes, 0)]
    public void Recorder_died(long outerSize, long dataSize) =>
        _patient.IsReadWithOneNotice(Form("RIFF", outerSize, Fmt(), Chunk("data", dataSize, Ramp(20))), 10, "was never closed");

    [Fact]
    public void Recorder_died_in_the_middle_of_a_frame() =>
        _patient.IsReadWithOneNotice(Form("RIFF", 0, Fmt(), Chunk("data", 0, Join(Ramp(20), [7]), hasPad: false)), 10, "was never closed");

    [Fact]
    public void Outer_size_wrong_and_all_else_right() => _patient.IsReadInSilence(Form("RIFF", 0, Fmt(), Chunk("data", Ramp(20))), 10);

    [Fact]
    public void Audio_cut_off() =>
        _patient.IsReadWithOneNotice(
            Form("RIFF", 4_200_000_036, Fmt(), Chunk("data", 4_200_000_000, Ramp(20))),
            10,
            "\"take 3.wav\" says it holds 4.2 GB and the file is 40 bytes. Reading the 40 bytes that are there."
        );

    [Fact]
    public void Audio_cut_off_by_one_byte() =>
        _patient.IsReadWithOneNotice(
            Form("RIFF", 76, Fmt(), Chunk("data", 40, Ramp(20)[..39], hasPad: false)),
            9,
            "says it holds 40 bytes and the file is 39"
        );

    [Fact]
    public void Audio_ends_in_the_middle_of_a_frame() =>
        _patient.IsReadWithOneNotice(Wave(Fmt(), Chunk("data", Ramp(21))), 10, "ends in the middle of a frame");

    [Fact]
    public void Odd_chunk_without_its_pad_byte() =>
        _patient.IsReadWithOneNotice(
            Wave(Fmt(), Chunk("note", 3, [1, 2, 3], hasPad: false), Chunk("data", Ramp(20))),
            10,
            "chunks of odd size without the byte"
        );

    [Fact]
    public void Odd_chunk_with_its_pad_byte() =>
        _patient.IsReadInSilence(Wave(Fmt(), Chunk("note", 1, 2, 3), Chunk("data", Ramp(20)), Chunk("more", 1)), 10);

    /// <summary>An odd amount of audio, and the chunk after it directly behind.</summary>
    [Fact]
    public void Odd_audio_without_its_pad_byte() =>
        _patient.IsReadWithOneNotice(
            Wave(Fmt(channels: 1, bits: 16), Chunk("data", 41, Join(Ramp(20), [9]), hasPad: false), Chunk("LIST", "INFO"u8.ToArray())),
            20,
            "chunks of odd size"
        );

    [Fact]
    public void Junk_after_the_end() =>
        _patient.IsReadWithOneNotice(
            Join(Wave(Fmt(), Chunk("data", Ramp(20))), [1, 2, 3, 4, 5, 6, 7, 8, 9]),
            10,
            "goes on after its end with 9 bytes"
        );

    [Fact]
    public void Letters_after_the_end() =>
        _patient.IsReadWithOneNotice(
            Join(Wave(Fmt(), Chunk("data", Ramp(20))), "TAGsome song"u8.ToArray()),
            10,
            "goes on after its end with 12 bytes"
        );

    [Fact]
    public void Last_chunk_cut_off() =>
        _patient.IsReadWithOneNotice(
            Form("RIFF", 200, Fmt(), Chunk("data", Ramp(20)), Chunk("LIST", 100, [1, 2, 3, 4])),
            10,
            "cut off in its chunk \"LIST\""
        );

    [Fact]
    public void Audio_longer_than_its_size() =>
        _patient.IsReadWithOneNotice(Wave(Fmt(), Chunk("data", 8, Ramp(20))), 10, "says it holds 8 bytes and its audio goes on after that");

    [Theory]
    [InlineData(18)]
    [InlineData(40)]
    [InlineData(0)]
    [InlineData(5)]
    public void Format_size_wrong(int statedSize)
    {
        var fmt = Fmt();
        fmt[4] = (byte)statedSize;
        _patient.IsReadWithOneNotice(Wave(fmt, Chunk("data", Ramp(20))), 10, "states a wrong size for its format");
    }

    [Fact]
    public void Format_longer_than_it_says()
    {
        var fmt = Join(Fmt(), [0, 0]);
        _patient.IsReadWithOneNotice(Wave(fmt, Chunk("data", Ramp(20))), 10, "states a wrong size for its format");
    }

    [Theory]
    [InlineData(0)]
    [InlineData(3)]
    [InlineData(8)]
    [InlineData(60_000)]
    public void Frame_size_contradicts_the_bits(int blockAlign) =>
        _patient.IsReadWithOneNotice(
            Wave(Fmt(blockAlign: blockAlign, bytesPerSecond: 192_000), Chunk("data", Ramp(20))),
            10,
            $"says a frame is {blockAlign} bytes long"
        );

    /// <summary>Frame size and bytes a second agree: 24-bit samples at the upper end of 32 are meant.</summary>
    [Fact]
    public void Samples_in_wider_bytes_are_no_fault()
    {
        using var folder = new TempFolder();
        var path = folder.Put(
            "a.wav",
            Wave(Fmt(channels: 1, bits: 24, blockAlign: 4), Chunk("data", Join(U32(0x4000_0000), U32(-0x8000_0000L))))
        );
        using var reader = AudioFile.Open(path);
        Assert.Empty(reader.Notices);
        Assert.Equal(SampleEncoding.Pcm32, reader.Format.Encoding);
        Assert.Equal([0.5, -1], reader.ReadAllExact());
    }

    /// <summary>12 bits stand at the upper end of two bytes, 20 of three.</summary>
    [Theory]
    [InlineData(12, SampleEncoding.Pcm16)]
    [InlineData(20, SampleEncoding.Pcm24)]
    [InlineData(7, SampleEncoding.Pcm8)]
    public void Bits_that_are_no_whole_bytes_are_no_fault(int bits, SampleEncoding encoding)
    {
        using var folder = new TempFolder();
        using var reader = AudioFile.Open(folder.Put("a.wav", Wave(Fmt(channels: 1, bits: bits), Chunk("data", new byte[12]))));
        Assert.Empty(reader.Notices);
        Assert.Equal(encoding, reader.Format.Encoding);
    }

    [Fact]
    public void Extensible_format_without_its_extension() =>
        _patient.IsReadWithOneNotice(Wave(Fmt(tag: 0xFFFE), Chunk("data", Ramp(20))), 10, "has its format cut short");

    [Fact]
    public void Extensible_format_without_its_extension_and_32_bits() =>
        _patient.IsRefused(Wave(Fmt(tag: 0xFFFE, bits: 32), Chunk("data", new byte[80])), "before it says what kind of samples", 36);

    [Fact]
    public void Two_faults_make_one_notice() =>
        _patient.IsReadWithOneNotice(
            Wave(Fmt(), Chunk("note", 3, [1, 2, 3], hasPad: false), Chunk("data", 400, Ramp(20))),
            10,
            "Nothing is lost. \"take 3.wav\" says it holds 400 bytes"
        );

    [Fact]
    public void No_audio_chunk() => _patient.IsRefused(Wave(Fmt(), Chunk("LIST", 1, 2)), "no \"data\" chunk", 46);

    [Fact]
    public void No_format_chunk() => _patient.IsRefused(Wave(Chunk("data", Ramp(20))), "no \"fmt\" chunk", 60);

    [Fact]
    public void Format_after_the_audio() => _patient.IsReadInSilence(Wave(Chunk("data", Ramp(20)), Fmt()), 10);

    [Fact]
    public void Format_cut_off() => _patient.IsRefused(Form("RIFF", 100, Fmt()[..14]), "its format is cut off", 20);

    [Fact]
    public void Header_only() => _patient.IsRefused(Form("RIFF", 100), "no \"fmt\" chunk", 12);

    [Fact]
    public void Rubbish_between_the_chunks() =>
        _patient.IsRefused(Wave(Fmt(), [0, 1, 2, 3, 4, 5, 6, 7, 8, 9], Chunk("data", Ramp(20))), "no \"data\" chunk", 36);

    [Fact]
    public void Chunk_before_the_audio_claims_four_gigabytes() =>
        _patient.IsRefused(Wave(Fmt(), Chunk("LIST", 0xFFFF_FFF0, []), Chunk("data", Ramp(20))), "no \"data\" chunk", 36);

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Zero_length_audio(bool hasMore) =>
        _patient.IsRefused(Wave(Fmt(), Chunk("data"), hasMore ? Chunk("LIST", "INFO"u8.ToArray()) : []), "its length is zero", 44);

    [Fact]
    public void Less_than_one_frame_of_audio() => _patient.IsRefused(Wave(Fmt(), Chunk("data", 1, 2)), "its length is zero", 44);

    [Theory]
    [InlineData(2, "Microsoft ADPCM")]
    [InlineData(0x55, "MPEG audio")]
    [InlineData(0x1234, "format 0x1234")]
    public void Coded_audio(int tag, string name) => _patient.IsRefused(Wave(Fmt(tag: tag), Chunk("data", Ramp(20))), name, 20);

    [Theory]
    [InlineData(0)]
    [InlineData(65)]
    [InlineData(65_535)]
    public void Impossible_channels(int channels) =>
        _patient.IsRefused(
            Wave(Fmt(channels: channels, blockAlign: 4), Chunk("data", Ramp(20))),
            $"it says it has {channels} channels",
            22
        );

    [Theory]
    [InlineData(0)]
    [InlineData(7_999)]
    [InlineData(384_001)]
    [InlineData(-1)]
    public void Impossible_rates(int rate) =>
        _patient.IsRefused(Wave(Fmt(rate: rate), Chunk("data", Ramp(20))), "it says its sample rate is", 24);

    [Theory]
    [InlineData(1, 0)]
    [InlineData(1, 64)]
    [InlineData(1, 65_535)]
    [InlineData(3, 16)]
    [InlineData(3, 24)]
    public void Impossible_bits(int tag, int bits) =>
        _patient.IsRefused(Wave(Fmt(tag: tag, bits: bits), Chunk("data", Ramp(20))), "bits, which is not read", 34);

    [Fact]
    public void Unknown_sub_format()
    {
        var fmt = Chunk("fmt ", Join(Fmt(tag: 0xFFFE)[8..], U16(22), U16(16), U32(0), new byte[16]));
        _patient.IsRefused(Wave(fmt, Chunk("data", Ramp(20))), "a kind of samples that is not known", 44);
    }

    [Fact]
    public void A_million_empty_chunks() =>
        _patient.IsRefused(Wave([.. Enumerable.Repeat(Chunk("JUNK"), 20_000)]), "no \"fmt\" chunk", 12 + 8 * 10_000);

    [Fact]
    public void Broadcast_chunk_cut_short()
    {
        var file = Wave(Chunk("bext", new byte[100]), Fmt(), Chunk("data", Ramp(20)));
        _patient.IsReadWithOneNotice(file, 10, "broadcast notes (\"bext\") cut short");
    }

    [Fact]
    public void Lists_that_count_more_than_they_hold()
    {
        var cue = Chunk("cue ", Join(U32(1_000_000_000), new byte[24]));
        var smpl = Chunk("smpl", Join(new byte[28], U32(1_000_000_000), U32(7)));
        var adtl = Chunk("LIST", Join("adtl"u8.ToArray(), "labl"u8.ToArray(), U32(1_000_000_000), U32(0)));
        _patient.IsReadInSilence(Wave(cue, smpl, adtl, Fmt(), Chunk("data", Ramp(20))), 10);
    }

    /// <summary>What is carried along is kept in memory, so it has a limit: a sound chunk of 400 MB is passed over. The file is sparse.</summary>
    [Theory]
    [InlineData("a.wav")]
    [InlineData("a.aiff")]
    public void A_chunk_too_large_to_carry_along(string name)
    {
        const int chunkBytes = 400_000_000;
        using var folder = new TempFolder();
        var isWave = name == "a.wav";
        var head = isWave ? Form("RIFF", 0, Chunk("huge", chunkBytes, [])) : Iff.Form("AIFF", Iff.Chunk("huge", chunkBytes, []));
        var tail = isWave ? Join(Fmt(), Chunk("data", Ramp(20))) : Join(Iff.Comm(10), Iff.Ssnd(Iff.Ramp(20)));
        var path = folder.Put(name, head);
        using (var file = File.OpenWrite(path))
        {
            file.Position = head.Length + chunkBytes;
            file.Write(tail);
        }
        var before = GC.GetAllocatedBytesForCurrentThread();
        using var reader = AudioFile.Open(path);
        Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, 1_000_000);
        Assert.Contains("has a chunk \"huge\" too large to carry along", Assert.Single(reader.Notices).Text, StringComparison.Ordinal);
        Assert.Equal(10, reader.FrameCount);
        Assert.Equal(Enumerable.Range(1, 20).Select(i => i / 32_768.0), reader.ReadAllExact());
    }

    /// <summary>A writer that knows no RF64 counts from zero again after 4 GB. The file is sparse: it takes no room.</summary>
    [Fact]
    public void Sizes_wrapped_around_beyond_four_gigabytes()
    {
        using var folder = new TempFolder();
        const long dataBytes = (1L << 32) + 4_000;
        var path = folder.Put("long.wav", Form("RIFF", 36 + 4_000, Fmt(), Chunk("data", 4_000, [])));
        using (var file = File.OpenWrite(path))
        {
            file.SetLength(44 + dataBytes);
            file.Position = 44 + dataBytes - 4;
            file.Write(Ramp(2));
        }
        using var reader = AudioFile.Open(path);
        Assert.Equal(dataBytes / 4, reader.FrameCount);
        Assert.Contains("Reading the 4.29 GB that are there", Assert.Single(reader.Notices).Text, StringComparison.Ordinal);
        var last = new double[2];
        Assert.Equal(1, reader.ReadExact(reader.FrameCount - 1, last));
        Assert.Equal([1 / 32_768.0, 2 / 32_768.0], last);
    }
}
