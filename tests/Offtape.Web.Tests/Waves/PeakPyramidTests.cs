using Offtape.AudioFiles;
using Offtape.Web.Folders;
using Offtape.Web.Tests.Listening;
using Offtape.Web.Waves;

namespace Offtape.Web.Tests.Waves;

/// <summary>Peaks in levels against the least and the greatest sample of every stretch, looked for one by one.</summary>
public sealed class PeakPyramidTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("offtape-peaks-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [InlineData(1, 1)]
    [InlineData(1, 127)]
    [InlineData(2, 128)]
    [InlineData(2, 700_001)]
    [InlineData(3, 70_000)]
    [InlineData(6, 9_999)]
    [InlineData(8, 66_000)]
    public void Every_bin_of_every_level_holds_the_least_and_the_greatest_sample(int channels, int frames)
    {
        var samples = Noise(frames * channels);
        var pyramid = Of(samples, channels, new Random(5));
        Assert.True(pyramid.IsWhole);
        for (var level = 0; level < pyramid.Levels.Count; level++)
        {
            var size = PeakLevels.BinFrames(level);
            var values = pyramid.Read(level, 0, (int)pyramid.Levels.BinCount(level)).ToArray();
            for (var bin = 0; bin < pyramid.Levels.BinCount(level); bin++)
            for (var c = 0; c < channels; c++)
            {
                var (least, greatest) = (float.MaxValue, float.MinValue);
                for (var f = bin * size; f < Math.Min(frames, (bin + 1) * size); f++)
                    (least, greatest) = (Math.Min(least, samples[f * channels + c]), Math.Max(greatest, samples[f * channels + c]));
                var at = (bin * channels + c) * 2;
                Assert.Equal((least, greatest), (values[at], values[at + 1]));
            }
        }
    }

    [Fact]
    public void While_it_grows_only_what_will_not_change_is_told()
    {
        var samples = Noise(40_000);
        var pyramid = new PeakPyramid(new PeakLevels(40_000, 1), 48_000);
        pyramid.Add(samples.AsSpan(0, 1280));
        Assert.Equal(10, pyramid.KnownBins(0));
        Assert.Equal(0, new PeakPyramid(new PeakLevels(40_000, 1), 48_000).KnownBins(0));
        var early = pyramid.Read(0, 0, 1000).ToArray();
        Assert.Equal(20, early.Length);
        pyramid.Add(samples.AsSpan(1280));
        Assert.Equal(early, pyramid.Read(0, 0, 10).ToArray());
    }

    [Fact]
    public void What_is_kept_is_the_same_each_time_and_is_read_back_bit_for_bit()
    {
        var pyramid = Of(Noise(300_000), 2, new Random(1));
        var mark = new SourceMark(600_044, 17, new string('a', 64));
        var (first, second) = (Path.Combine(_folder, "1.peaks"), Path.Combine(_folder, "2.peaks"));
        PeakFile.Save(first, mark, pyramid);
        PeakFile.Save(second, mark, Of(Noise(300_000), 2, new Random(2)));
        Assert.Equal(File.ReadAllBytes(first), File.ReadAllBytes(second));
        var back = PeakFile.TryLoad(first, mark, pyramid.Levels, 48_000)!;
        Assert.True(back.IsWhole);
        for (var level = 0; level < pyramid.Levels.Count; level++)
            Assert.Equal(pyramid.WholeLevel(level).ToArray(), back.WholeLevel(level).ToArray());
    }

    [Fact]
    public void Peaks_of_another_state_another_layout_or_damaged_are_not_taken()
    {
        var pyramid = Of(Noise(300_000), 2, new Random(1));
        var mark = new SourceMark(600_044, 17, new string('a', 64));
        var path = Path.Combine(_folder, "1.peaks");
        PeakFile.Save(path, mark, pyramid);
        var levels = pyramid.Levels;
        Assert.NotNull(PeakFile.TryLoad(path, mark, levels, 48_000));
        Assert.Null(PeakFile.TryLoad(path, mark with { ByteCount = 600_045 }, levels, 48_000));
        Assert.Null(PeakFile.TryLoad(path, mark with { WrittenTicks = 18 }, levels, 48_000));
        Assert.Null(PeakFile.TryLoad(path, mark with { Ends = new string('b', 64) }, levels, 48_000));
        Assert.Null(PeakFile.TryLoad(path, mark, levels with { ChannelCount = 1, FrameCount = 300_000 }, 48_000));
        Assert.Null(PeakFile.TryLoad(path, mark, levels, 44_100));
        var bytes = File.ReadAllBytes(path);
        foreach (var at in new[] { 8, bytes.Length / 2, bytes.Length - 1 })
        {
            var damaged = (byte[])bytes.Clone();
            damaged[at] ^= 1;
            File.WriteAllBytes(path, damaged);
            Assert.Null(PeakFile.TryLoad(path, mark, levels, 48_000));
        }
        foreach (var length in new[] { 0, 50, bytes.Length - 1 })
        {
            File.WriteAllBytes(path, bytes[..length]);
            Assert.Null(PeakFile.TryLoad(path, mark, levels, 48_000));
        }
    }

    [Fact]
    public async Task A_file_is_read_once_and_again_when_it_changes()
    {
        var path = Path.Combine(_folder, "studio", "captures", "a", "long.wav");
        ListeningDesk.Save(path, Noise(200_000));
        var kept = Path.Combine(_folder, "studio", ".offtape", "waves");
        using (var studio = StudioFolder.Open(Path.Combine(_folder, "studio")))
        using (var book = new WaveBook(studio))
            Assert.NotNull(await book.FindWhole(path));
        var file = Assert.Single(Directory.GetFiles(kept));
        var writtenAt = File.GetLastWriteTimeUtc(file);
        using (var studio = StudioFolder.Open(Path.Combine(_folder, "studio")))
        using (var book = new WaveBook(studio))
        {
            var wave = await book.FindWhole(path);
            Assert.Equal(0.5f, wave!.Peaks.Read(wave.Peaks.Levels.Count - 1, 0, 1 << 20).ToArray().Max(), 0.01f);
            Assert.Equal(writtenAt, File.GetLastWriteTimeUtc(file));
            File.Delete(path);
            ListeningDesk.Save(path, [.. Noise(200_000).Select(s => 2 * s)]);
            wave = await book.FindWhole(path);
            Assert.Equal(1f, wave!.Peaks.Read(wave.Peaks.Levels.Count - 1, 0, 1 << 20).ToArray().Max(), 0.01f);
            File.Delete(path);
            Assert.Null(await book.Find(path));
        }
        Assert.Single(Directory.GetFiles(kept));
    }

    private static PeakPyramid Of(float[] samples, int channels, Random cuts)
    {
        var pyramid = new PeakPyramid(new PeakLevels(samples.Length / channels, channels), 48_000);
        for (var at = 0; at < samples.Length; )
        {
            var count = Math.Min(samples.Length - at, cuts.Next(1, 40) * PeakLevels.FinestBinFrames * channels);
            pyramid.Add(samples.AsSpan(at, count));
            at += count;
        }
        return pyramid;
    }

    private static float[] Noise(int count)
    {
        var dice = new Random(3);
        return [.. Enumerable.Range(0, count).Select(_ => (float)(dice.NextDouble() - 0.5))];
    }
}
