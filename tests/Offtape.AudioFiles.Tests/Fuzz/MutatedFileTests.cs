using CsCheck;
using Offtape.Base;

namespace Offtape.AudioFiles.Tests;

/// <summary>
/// Valid files of every kind that the program reads itself, changed at random. Whatever comes of it is read within the bytes that are
/// there, or refused with a fault; no other exception, no more memory than a sound file takes. A longer run: set OFFTAPE_FUZZ_ROUNDS and
/// OFFTAPE_FUZZ_SEED.
/// </summary>
public sealed class MutatedFileTests : IDisposable
{
    private const int UsualRounds = 6_000;

    // A sound file of this size takes a few hundred kilobytes; the limit is what counts as bounded here.
    private const long MostBytesAllocated = 50_000_000;

    private readonly TempFolder _folder = new();
    private readonly float[] _floats = new float[1 << 12];
    private readonly double[] _doubles = new double[1 << 12];

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Whatever_happens_to_a_file_it_is_read_within_bounds_or_refused()
    {
        var rounds = int.Parse(Environment.GetEnvironmentVariable("OFFTAPE_FUZZ_ROUNDS") ?? $"{UsualRounds}");
        var seed = ulong.Parse(Environment.GetEnvironmentVariable("OFFTAPE_FUZZ_SEED") ?? "1");
        var files = SoundFiles();
        var (read, refused) = (0, 0);
        Gen.Select(Gen.Int[0, files.Count - 1], Mutation.Any.Array[1, 3])
            .ForEach(
                rounds,
                seed,
                args =>
                {
                    var bytes = args.Item2.Aggregate((byte[])files[args.Item1].Clone(), (file, mutation) => mutation.Apply(file));
                    try
                    {
                        if (IsReadWithinBounds(_folder.Put("f", bytes)))
                            read++;
                        else
                            refused++;
                        // A new file each time: some file systems flush a file that is overwritten, and that takes milliseconds.
                        File.Delete(_folder["f"]);
                    }
                    catch (Exception error)
                    {
                        throw new InvalidOperationException($"{error.Message}\nThe file: {Convert.ToHexString(bytes)}", error);
                    }
                }
            );
        // Both happen often, or the mutations are too weak or too strong to show anything.
        Assert.True(read > rounds / 10 && refused > rounds / 20, $"{read} were read and {refused} refused.");
        TestContext.Current.SendDiagnosticMessage($"{rounds} files of seed {seed}: {read} were read, {refused} refused.");
    }

    private bool IsReadWithinBounds(string path)
    {
        var (floats, doubles) = (_floats, _doubles);
        var before = GC.GetAllocatedBytesForCurrentThread();
        try
        {
            // What the codec library makes of broken files is its own concern: here it is not installed.
            using var reader = AudioFile.Open(path, static () => null);
            var format = reader.Format;
            Assert.InRange(format.ChannelCount, 1, 64);
            Assert.InRange(format.SampleRateHz, 8_000, 384_000);
            Assert.InRange(reader.FrameCount, 1, new FileInfo(path).Length / format.BytesPerFrame);
            long at = 0;
            for (int count; (count = reader.Read(at, floats)) > 0; at += count)
            {
                Assert.Equal(-1, floats.AsSpan(0, count * format.ChannelCount).IndexOfAnyExceptInRange(float.MinValue, float.MaxValue));
                Assert.Equal(count, reader.ReadExact(at, doubles));
            }
            Assert.Equal(reader.FrameCount, at);
            Assert.True(reader.Notices.Count <= 1);
            return true;
        }
        catch (Fault fault)
        {
            Assert.Equal(ExitCode.InputUnreadable, fault.ExitCode);
            Assert.DoesNotContain('\n', fault.Message);
            Assert.InRange(fault.ByteOffset ?? 0, 0, new FileInfo(path).Length);
            return false;
        }
        finally
        {
            Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, MostBytesAllocated);
        }
    }

    private List<byte[]> SoundFiles()
    {
        var metadata = new AudioMetadata
        {
            TimeReferenceFrames = 123,
            Broadcast = new BroadcastExtension { LoudnessLufs = -20, CodingHistory = "A=PCM\r\n" },
            Ixml = "<BWFXML/>",
            CuePoints =
            [
                new CuePoint(1, 5)
                {
                    Label = "a",
                    Note = "b",
                    LengthFrames = 3,
                },
                new CuePoint(2, 9),
            ],
            Sampler = new SamplerInfo { Loops = [new SampleLoop(1, 0, 2, 7)] },
            OtherChunks = [new RawChunk(ChunkFamily.Riff, "odd ", [1, 2, 3]), new RawChunk(ChunkFamily.Iff, "ANNO", [4, 5, 6])],
        };
        var files = new List<byte[]>();
        foreach (
            var (name, encoding, channelCount, extra) in ((string, SampleEncoding, int, AudioMetadata?)[])
                [
                    ("a.wav", SampleEncoding.Pcm16, 2, null),
                    ("b.wav", SampleEncoding.Pcm24, 3, metadata),
                    ("c.wav", SampleEncoding.Float32, 1, metadata),
                    ("d.wav", SampleEncoding.Float64, 2, null),
                    ("e.rf64", SampleEncoding.Pcm24, 2, metadata),
                    ("f.bw64", SampleEncoding.Pcm16, 1, null),
                    ("g.aiff", SampleEncoding.Pcm24, 2, metadata),
                    ("h.aiff", SampleEncoding.Pcm8, 1, null),
                    ("i.aifc", SampleEncoding.Float32, 2, metadata),
                    ("j.aifc", SampleEncoding.Pcm16, 1, null),
                ]
        )
        {
            Samples.WriteFile(
                _folder[name],
                new AudioFormat(48_000, channelCount, encoding),
                Samples.Exact(encoding, 150 * channelCount),
                extra
            );
            files.Add(File.ReadAllBytes(_folder[name]));
        }
        return files;
    }
}
