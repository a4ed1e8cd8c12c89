using System.Buffers.Binary;
using System.Text;

namespace Offtape.AudioFiles.Tests;

/// <summary>The bytes of headers and metadata against examples and tables of the documents that define them.</summary>
public sealed class PublishedExamplesTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    /// <summary>
    /// EBU Tech 3285 version 2, section 2.3: offsets of the fields; a recording of 96 kHz that begins at 13:30:00 has the time reference
    /// 4 665 600 000, high word 1, low word 370 632 704.
    /// </summary>
    [Fact]
    public void Bext_fields_stand_where_Tech_3285_puts_them()
    {
        var metadata = new AudioMetadata
        {
            TimeReferenceFrames = 13L * 3600 * 96_000 + 30L * 60 * 96_000,
            Broadcast = new BroadcastExtension
            {
                Description = "Side A",
                Originator = "Who",
                OriginatorReference = "Ref",
                OriginationDate = "2024-05-06",
                OriginationTime = "13:30:00",
                Umid = [.. Enumerable.Range(1, 64).Select(i => (byte)i)],
                CodingHistory = "A=PCM,F=96000,W=24,M=stereo,T=tape\r\n",
            },
        };
        var bext = ChunkOf(Written(metadata, 96_000), "bext");

        Assert.Equal(602 + 36, bext.Length);
        Assert.Equal("Side A", Text(bext, 0, 256));
        Assert.Equal("Who", Text(bext, 256, 32));
        Assert.Equal("Ref", Text(bext, 288, 32));
        Assert.Equal("2024-05-06", Text(bext, 320, 10));
        Assert.Equal("13:30:00", Text(bext, 330, 8));
        Assert.Equal(370_632_704u, BinaryPrimitives.ReadUInt32LittleEndian(bext.AsSpan(338)));
        Assert.Equal(1u, BinaryPrimitives.ReadUInt32LittleEndian(bext.AsSpan(342)));
        Assert.Equal(1, BinaryPrimitives.ReadUInt16LittleEndian(bext.AsSpan(346)));
        Assert.Equal(Enumerable.Range(1, 64).Select(i => (byte)i), bext[348..412]);
        Assert.All(bext[412..602], b => Assert.Equal(0, b));
        Assert.Equal("A=PCM,F=96000,W=24,M=stereo,T=tape\r\n", Encoding.ASCII.GetString(bext[602..]));
    }

    /// <summary>
    /// EBU Tech 3285 version 2, section 2.3: a hundred times the value, rounded, ties away from zero; 7FFFh where there is none. The
    /// values and their codes are its own examples.
    /// </summary>
    [Theory]
    [InlineData(-22.644, 0xF728)]
    [InlineData(-22.645, 0xF727)]
    [InlineData(-22.646, 0xF727)]
    [InlineData(12.764, 0x04FC)]
    [InlineData(12.765, 0x04FD)]
    [InlineData(12.766, 0x04FD)]
    public void Loudness_fields_round_as_Tech_3285_says(double lufs, int code)
    {
        var bext = ChunkOf(Written(new AudioMetadata { Broadcast = new BroadcastExtension { LoudnessLufs = lufs } }), "bext");
        Assert.Equal(2, BinaryPrimitives.ReadUInt16LittleEndian(bext.AsSpan(346)));
        Assert.Equal(code, BinaryPrimitives.ReadUInt16LittleEndian(bext.AsSpan(412)));
        for (var other = 414; other < 422; other += 2)
            Assert.Equal(0x7FFF, BinaryPrimitives.ReadUInt16LittleEndian(bext.AsSpan(other)));
    }

    /// <summary>Each loudness field has its own place.</summary>
    [Fact]
    public void Loudness_fields_do_not_change_places()
    {
        var broadcast = new BroadcastExtension
        {
            LoudnessLufs = -23.01,
            LoudnessRangeLu = 7.02,
            TruePeakDbtp = -1.03,
            MomentaryMaxLufs = -18.04,
            ShortTermMaxLufs = -20.05,
        };
        var path = Written(new AudioMetadata { Broadcast = broadcast });
        var bext = ChunkOf(path, "bext");
        short[] wanted = [-2301, 702, -103, -1804, -2005];
        Assert.Equal(wanted, Enumerable.Range(0, 5).Select(i => BinaryPrimitives.ReadInt16LittleEndian(bext.AsSpan(412 + 2 * i))));
        using var reader = AudioFile.Open(path);
        Assert.Equal(broadcast, reader.Metadata.Broadcast! with { Umid = broadcast.Umid });
    }

    /// <summary>
    /// ITU-R BS.2088-2 and EBU Tech 3306: the 32-bit sizes are all ones; ds64 is the first chunk, with the size of the form, of the audio,
    /// a count of frames (BS.2088: 0), and the length of its table. What is written is 100 frames of 6 bytes.
    /// </summary>
    [Theory]
    [InlineData("a.rf64", "RF64", 100)]
    [InlineData("a.bw64", "BW64", 0)]
    public void Ds64_is_laid_out_as_BS_2088_and_Tech_3306_say(string name, string id, long frameField)
    {
        var path = _folder[name];
        Samples.WriteFile(path, new AudioFormat(48_000, 2, SampleEncoding.Pcm24), new double[200]);
        var bytes = File.ReadAllBytes(path);
        Assert.Equal(id, Text(bytes, 0, 4));
        Assert.Equal(0xFFFF_FFFFu, BinaryPrimitives.ReadUInt32LittleEndian(bytes.AsSpan(4)));
        Assert.Equal("WAVE", Text(bytes, 8, 4));
        Assert.Equal("ds64", Text(bytes, 12, 4));
        Assert.Equal(28u, BinaryPrimitives.ReadUInt32LittleEndian(bytes.AsSpan(16)));
        Assert.Equal(bytes.Length - 8, BinaryPrimitives.ReadInt64LittleEndian(bytes.AsSpan(20)));
        Assert.Equal(600, BinaryPrimitives.ReadInt64LittleEndian(bytes.AsSpan(28)));
        Assert.Equal(frameField, BinaryPrimitives.ReadInt64LittleEndian(bytes.AsSpan(36)));
        Assert.Equal(0u, BinaryPrimitives.ReadUInt32LittleEndian(bytes.AsSpan(44)));
        Assert.Equal("data", Text(bytes, bytes.Length - 608, 4));
        Assert.Equal(0xFFFF_FFFFu, BinaryPrimitives.ReadUInt32LittleEndian(bytes.AsSpan(bytes.Length - 604)));
    }

    /// <summary>RIFF specification 1994 for `smpl`: the sample period in nanoseconds, 22675 (5893h) at 44.1 kHz; middle C is 60; loops of 24 bytes.</summary>
    [Fact]
    public void Smpl_says_the_sample_period_of_its_rate()
    {
        var sampler = new SamplerInfo
        {
            UnityNote = 60,
            PitchFraction = 0x8000_0000,
            Loops = [new SampleLoop(7, 1, 10, 20, 3, 4)],
        };
        var path = Written(new AudioMetadata { Sampler = sampler }, 44_100);
        var smpl = ChunkOf(path, "smpl");
        uint[] wanted = [0, 0, 0x5893, 60, 0x8000_0000, 0, 0, 1, 0, 7, 1, 10, 20, 3, 4];
        Assert.Equal(wanted, Enumerable.Range(0, 15).Select(i => BinaryPrimitives.ReadUInt32LittleEndian(smpl.AsSpan(4 * i))));
        Assert.Equal(60, smpl.Length);
    }

    /// <summary>
    /// WAVEFORMATEXTENSIBLE (mmreg.h): tag FFFEh, 22 more bytes, the valid bits, the mask of loudspeakers, and the sub-format
    /// 00000001-0000-0010-8000-00AA00389B71 for PCM, 00000003-… for floats; required beyond two channels or 16 bits.
    /// </summary>
    [Theory]
    [InlineData(SampleEncoding.Pcm16, 2, 16, 1)]
    [InlineData(SampleEncoding.Float32, 2, 18, 3)]
    [InlineData(SampleEncoding.Pcm24, 1, 40, 1)]
    [InlineData(SampleEncoding.Pcm16, 3, 40, 1)]
    [InlineData(SampleEncoding.Float32, 4, 40, 3)]
    public void The_extensible_format_is_written_where_it_is_required(SampleEncoding encoding, int channels, int size, int tag)
    {
        var path = _folder["a.wav"];
        Samples.WriteFile(path, new AudioFormat(48_000, channels, encoding), new double[channels]);
        var fmt = ChunkOf(path, "fmt ");
        var bits = 8 * AudioFormat.BytesPer(encoding);
        Assert.Equal(size, fmt.Length);
        Assert.Equal(channels * bits / 8, BinaryPrimitives.ReadUInt16LittleEndian(fmt.AsSpan(12)));
        Assert.Equal(48_000 * channels * bits / 8, BinaryPrimitives.ReadInt32LittleEndian(fmt.AsSpan(8)));
        Assert.Equal(bits, BinaryPrimitives.ReadUInt16LittleEndian(fmt.AsSpan(14)));
        if (size < 40)
        {
            Assert.Equal(tag, BinaryPrimitives.ReadUInt16LittleEndian(fmt));
            return;
        }
        Assert.Equal(0xFFFE, BinaryPrimitives.ReadUInt16LittleEndian(fmt));
        Assert.Equal(22, BinaryPrimitives.ReadUInt16LittleEndian(fmt.AsSpan(16)));
        Assert.Equal(bits, BinaryPrimitives.ReadUInt16LittleEndian(fmt.AsSpan(18)));
        Assert.Equal(new Guid($"{tag:X8}-0000-0010-8000-00AA00389B71"), new Guid(fmt.AsSpan(24, 16)));
    }

    /// <summary>The extended number that the AIFF literature prints for 44 100 Hz.</summary>
    [Fact]
    public void Aiff_says_its_rate_in_80_bits()
    {
        var path = _folder["a.aiff"];
        Samples.WriteFile(path, new AudioFormat(44_100, 1, SampleEncoding.Pcm16), [0, 0]);
        var bytes = File.ReadAllBytes(path);
        Assert.Equal("COMM", Text(bytes, 12, 4));
        Assert.Equal(Iff.Rate44100, bytes[28..38]);
    }

    private string Written(AudioMetadata metadata, int sampleRateHz = 48_000)
    {
        var path = _folder["meta.wav"];
        Samples.WriteFile(path, new AudioFormat(sampleRateHz, 1, SampleEncoding.Pcm16), [0], metadata);
        return path;
    }

    private static string Text(byte[] bytes, int at, int length) => Encoding.ASCII.GetString(bytes, at, length).TrimEnd('\0');

    /// <summary>The content of a chunk, found by a walk of its own.</summary>
    internal static byte[] ChunkOf(string path, string name)
    {
        var bytes = File.ReadAllBytes(path);
        for (var at = 12; at + 8 <= bytes.Length; )
        {
            var size = BinaryPrimitives.ReadInt32LittleEndian(bytes.AsSpan(at + 4));
            if (Text(bytes, at, 4) == name.TrimEnd('\0'))
                return bytes[(at + 8)..(at + 8 + size)];
            at += 8 + size + size % 2;
        }
        throw new InvalidOperationException($"There is no {name} chunk.");
    }
}
