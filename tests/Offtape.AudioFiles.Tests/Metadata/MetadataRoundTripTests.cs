using System.Text;

namespace Offtape.AudioFiles.Tests;

/// <summary>What a file says besides the audio survives being read and written.</summary>
public sealed class MetadataRoundTripTests : IDisposable
{
    private static readonly AudioFormat Mono = new(48_000, 1, SampleEncoding.Pcm24);

    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private static AudioMetadata Full =>
        new()
        {
            TimeReferenceFrames = 1L << 40,
            Broadcast = new BroadcastExtension { Description = "Größe", CodingHistory = "A=ANALOGUE,M=mono,T=reel\r\n" },
            Ixml = "<BWFXML><NOTE>“tape”</NOTE></BWFXML>",
            CuePoints =
            [
                new CuePoint(1, 0),
                new CuePoint(9, 4_000_000_000)
                {
                    Label = "bells",
                    Note = "odd",
                    LengthFrames = 12,
                    Purpose = "rgn ",
                },
                new CuePoint(3, 77) { Label = "Läufer" },
            ],
            Sampler = new SamplerInfo
            {
                Manufacturer = 1,
                Product = 2,
                SamplePeriodNanoseconds = 20_833,
                UnityNote = 61,
                PitchFraction = 5,
                SmpteFormat = 25,
                SmpteOffset = 6,
                Loops = [new SampleLoop(9, 0, 5, 9), new SampleLoop(3, 1, 2, 3, 4, 5)],
                MakerData = [1, 2, 3],
            },
            OtherChunks =
            [
                new RawChunk(ChunkFamily.Riff, "xyz ", [1, 2, 3]),
                new RawChunk(ChunkFamily.Riff, "LIST", "INFOICMT\u0002\0\0\0a\0"u8.ToArray()),
            ],
        };

    [Theory]
    [InlineData("a.wav")]
    [InlineData("a.rf64")]
    [InlineData("a.bw64")]
    public void A_wave_keeps_all_of_it(string name)
    {
        Samples.WriteFile(_folder[name], Mono, [0.25, 0.5], Full);
        using var reader = AudioFile.Open(_folder[name]);
        AssertSame(Full, reader.Metadata);
        Assert.Empty(reader.Notices);

        // And once more, from what was read.
        Samples.WriteFile(_folder["b" + name], Mono, reader.ReadAllExact(), reader.Metadata);
        Assert.Equal(File.ReadAllBytes(_folder[name]), File.ReadAllBytes(_folder["b" + name]));
    }

    [Fact]
    public void An_aiff_keeps_markers_note_loop_and_its_own_chunks()
    {
        var metadata = new AudioMetadata
        {
            CuePoints = [new CuePoint(5, 100) { Label = "odd" }, new CuePoint(6, 200) { Label = "even" }],
            Sampler = new SamplerInfo
            {
                UnityNote = 48,
                PitchFraction = 0x2000_0000,
                Loops = [new SampleLoop(0, 1, 100, 149)],
            },
            OtherChunks = [new RawChunk(ChunkFamily.Iff, "NAME", "Lantern"u8.ToArray()), new RawChunk(ChunkFamily.Riff, "LIST", [0])],
        };
        Samples.WriteFile(_folder["a.aiff"], Mono, new double[300], metadata);
        using var reader = AudioFile.Open(_folder["a.aiff"]);
        Assert.Empty(reader.Notices);
        var got = reader.Metadata;
        // The loop's end gets a marker of its own.
        Assert.Equal([(5u, 100L, "odd"), (6u, 200L, "even"), (7u, 150L, "")], got.CuePoints.Select(p => (p.Id, p.Frame, p.Label ?? "")));
        Assert.Equal(48u, got.Sampler!.UnityNote);
        // Whole cents: 12.5 becomes 12, ties to even.
        Assert.Equal(12 / 100.0, got.Sampler.PitchFraction / 4_294_967_296.0, 1e-9);
        Assert.Equal([new SampleLoop(0, 1, 100, 149)], got.Sampler.Loops);
        Assert.Equal(["NAME"], got.OtherChunks.Select(c => c.Name));
    }

    /// <summary>A sound that is 60 cents above its note is 40 cents below the next one; AIFF holds half a semitone either way.</summary>
    [Fact]
    public void Detuning_of_more_than_half_a_semitone_is_said_from_the_next_note()
    {
        var metadata = new AudioMetadata
        {
            Sampler = new SamplerInfo { UnityNote = 48, PitchFraction = (uint)(0.6 * 4_294_967_296.0) },
        };
        Samples.WriteFile(_folder["a.aiff"], Mono, [0], metadata);
        var bytes = File.ReadAllBytes(_folder["a.aiff"]);
        var inst = Encoding.Latin1.GetString(bytes).IndexOf("INST", StringComparison.Ordinal) + 8;
        Assert.Equal((49, 40), ((int)bytes[inst], (int)(sbyte)bytes[inst + 1]));
        using var reader = AudioFile.Open(_folder["a.aiff"]);
        Assert.Equal(48u, reader.Metadata.Sampler!.UnityNote);
        Assert.Equal(0.6, reader.Metadata.Sampler.PitchFraction / 4_294_967_296.0, 1e-9);
    }

    [Fact]
    public void Changed_audio_keeps_its_place_and_drops_what_may_no_longer_hold()
    {
        var full = Full with { Broadcast = Full.Broadcast! with { LoudnessLufs = -20 } };
        var changed = full.ForChangedAudio();
        Assert.Equal(full.TimeReferenceFrames, changed.TimeReferenceFrames);
        Assert.Equal(full.Ixml, changed.Ixml);
        Assert.Equal("Größe", changed.Broadcast!.Description);
        Assert.Null(changed.Broadcast.LoudnessLufs);
        Assert.Empty(changed.CuePoints);
        Assert.Empty(changed.OtherChunks);
        Assert.Null(changed.Sampler);
    }

    [Fact]
    public void A_file_without_a_place_has_none_and_one_at_midnight_is_at_midnight()
    {
        Samples.WriteFile(_folder["none.wav"], Mono, [0]);
        Samples.WriteFile(_folder["midnight.wav"], Mono, [0], new AudioMetadata { TimeReferenceFrames = 0 });
        using var none = AudioFile.Open(_folder["none.wav"]);
        using var midnight = AudioFile.Open(_folder["midnight.wav"]);
        Assert.Null(none.Metadata.TimeReferenceFrames);
        Assert.Equal(0, midnight.Metadata.TimeReferenceFrames);
    }

    [Fact]
    public void The_loudspeakers_of_a_source_are_kept_where_the_channels_are_as_many()
    {
        Samples.WriteFile(
            _folder["a.wav"],
            new AudioFormat(48_000, 4, SampleEncoding.Pcm16),
            new double[4],
            new AudioMetadata { ChannelMask = 0x33 }
        );
        using var four = AudioFile.Open(_folder["a.wav"]);
        Assert.Equal(0x33u, four.Metadata.ChannelMask);
        using var picked = AudioFile.Open(_folder["a.wav"]).PickChannels([0, 1, 2]);
        Assert.Null(picked.Metadata.ChannelMask);
    }

    private static void AssertSame(AudioMetadata wanted, AudioMetadata got)
    {
        Assert.Equal(wanted.TimeReferenceFrames, got.TimeReferenceFrames);
        Assert.Equal(wanted.Broadcast!.Description, got.Broadcast!.Description);
        Assert.Equal(wanted.Broadcast.CodingHistory, got.Broadcast.CodingHistory);
        Assert.Equal(wanted.Ixml, got.Ixml);
        Assert.Equal(wanted.CuePoints, got.CuePoints);
        Assert.Equal(wanted.Sampler!.Loops, got.Sampler!.Loops);
        Assert.Equal(wanted.Sampler.MakerData, got.Sampler.MakerData);
        Assert.Equal(wanted.Sampler with { Loops = got.Sampler.Loops, MakerData = got.Sampler.MakerData }, got.Sampler);
        Assert.Equal(wanted.OtherChunks.Select(c => c.Name), got.OtherChunks.Select(c => c.Name));
        Assert.Equal(wanted.OtherChunks.SelectMany(c => c.Data), got.OtherChunks.SelectMany(c => c.Data));
    }
}
