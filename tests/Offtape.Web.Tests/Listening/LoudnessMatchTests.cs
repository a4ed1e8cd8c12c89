using Offtape.AudioFiles;
using Offtape.Web.Listening;

namespace Offtape.Web.Tests.Listening;

/// <summary>Variants brought to one loudness, against the closed-form answer for a sine (ITU-R BS.1770-5, Annex 1).</summary>
public sealed class LoudnessMatchTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("offtape-loud-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    /// <summary>997 Hz at full scale in one channel reads −3.01 LKFS (BS.1770-5, Annex 1); tolerance 0.1 LU, EBU Tech 3341.</summary>
    [Theory]
    [InlineData(0, 4)]
    [InlineData(-23, 4)]
    [InlineData(-40, 0.45)]
    public void A_tone_is_as_loud_as_the_Recommendation_says(double levelDbfs, double seconds)
    {
        var level = Level(levelDbfs, seconds);
        Assert.Equal(levelDbfs - 3.01, level.LoudnessLufs, 0.1 + (seconds < 0.5 ? 0.6 : 0));
        Assert.Equal(levelDbfs, level.TruePeakDbtp, 0.2);
    }

    [Fact]
    public void All_are_as_loud_as_the_first_and_none_clips()
    {
        var levels = new List<(string, HeardLevel)>
        {
            ("source", Level(-12, 2)),
            ("shift", Level(-35, 2)),
            ("lock", Level(-6, 2)),
            ("peaky", new HeardLevel(-30, -3)),
            ("silent", new HeardLevel(double.NegativeInfinity, double.NegativeInfinity)),
        };
        var gains = LoudnessMatch.Gains(levels);
        Assert.Equal(23, gains["shift"] - gains["source"], 0.1);
        Assert.Equal(-6, gains["lock"] - gains["source"], 0.1);
        // The peaky one would stand at −3 + 30 − 15 dBTP: all are turned down by what is over 0.
        Assert.Equal(0, -3 + gains["peaky"], 1e-9);
        Assert.All(levels, l => Assert.True(l.Item2.TruePeakDbtp + gains[l.Item1] <= 1e-9));
        Assert.Equal(gains["source"], gains["silent"], 1e-9);
    }

    [Fact]
    public void Where_nothing_would_clip_the_source_keeps_its_level()
    {
        var gains = LoudnessMatch.Gains([("source", new HeardLevel(-20, -6)), ("fit", new HeardLevel(-18, -8))]);
        Assert.Equal(0, gains["source"], 1e-9);
        Assert.Equal(-2, gains["fit"], 1e-9);
    }

    private HeardLevel Level(double levelDbfs, double seconds)
    {
        var path = Path.Combine(_folder, "tone.wav");
        var gain = Math.Pow(10, levelDbfs / 20);
        File.Delete(path);
        ListeningDesk.Save(
            path,
            [.. Enumerable.Range(0, (int)(seconds * 48_000)).Select(i => (float)(gain * Math.Sin(2 * Math.PI * 997 * i / 48_000)))]
        );
        using var reader = AudioFile.Open(path);
        return HeardLevel.Of(reader, new HeardFormat(48_000, 1, reader.FrameCount), TestContext.Current.CancellationToken);
    }
}
