using Offtape.Signal;

namespace Offtape.Testing.Tests;

/// <summary>The corpus of real recordings is what the other tests believe it to be.</summary>
public sealed class RecordingsTests
{
    [Fact]
    public void There_are_enough_recordings_of_every_kind()
    {
        foreach (var kind in Enum.GetValues<RecordingKind>())
            Assert.True(Recordings.OfKind(kind).Count >= 8, $"{kind}: {Recordings.OfKind(kind).Count}");
        Assert.True(Recordings.All.Count >= 40);
        Assert.True(Recordings.NearTwins.Count >= 40);
        Assert.Equal(Recordings.All.Count, Recordings.All.Select(r => r.Name).Distinct().Count());
    }

    [Fact]
    public void Every_recording_loads_is_finite_and_is_heard()
    {
        var longOnes = 0;
        var problems = new List<string>();
        foreach (var recording in Recordings.All.Concat(Recordings.Strangers))
        {
            var channels = Recordings.Load(recording.Name);
            var peak = channels.SelectMany(c => c).Max(Math.Abs);
            // A recording that was clipped swings over full scale between its samples when its rate is changed.
            if (!float.IsFinite(peak) || peak is < 0.01f or > 1.5f)
                problems.Add($"{recording.Name}: peak {peak}");
            if (channels[0].Length >= 2 * Recordings.SampleRateHz)
                longOnes++;
        }
        Assert.Empty(problems);
        Assert.True(longOnes >= 24, $"{longOnes} recordings of two seconds or more");
    }

    [Fact]
    public void No_stranger_comes_from_a_known_kit() =>
        Assert.Empty(Recordings.Strangers.Select(r => r.Kit).Intersect(Recordings.All.Select(r => r.Kit)));

    [Fact]
    public void A_recording_at_44_100_Hz_keeps_its_length_in_seconds()
    {
        var recording = Recordings.Named("stage-kit.drum_snare_hard");
        var original = SoundFile.Read(recording.Path);
        Assert.Equal(44_100, original.SampleRateHz);
        var loaded = Recordings.Load(recording.Name);
        Measured.Within(
            original.Channels[0].Length / 44_100.0,
            loaded[0].Length / (double)Recordings.SampleRateHz,
            1.0 / Recordings.SampleRateHz,
            "seconds"
        );
    }

    [Fact]
    public void A_phrase_is_the_same_for_the_same_seed_and_another_for_another()
    {
        foreach (var kind in Enum.GetValues<RecordingKind>())
        {
            var phrase = Recordings.Phrase(7, kind, 3);
            Assert.Equal(3 * Recordings.SampleRateHz, phrase.Length);
            Assert.Equal(phrase, Recordings.Phrase(7, kind, 3));
            Assert.NotEqual(phrase, Recordings.Phrase(8, kind, 3));
            Measured.Within(0.5, phrase.Max(Math.Abs), 1e-6, $"peak of a {kind} phrase");
        }
    }

    [Fact]
    public void A_missing_recording_names_its_package()
    {
        var error = Assert.Throws<InvalidOperationException>(() =>
            Recordings.Read(new Recording("x", RecordingKind.Drum, "x", "some-package", "/nowhere/x.wav", "CC0"))
        );
        Assert.Contains("some-package", error.Message, StringComparison.Ordinal);
    }

    /// <summary>
    /// Velocity layers can be one recording at two gains: then the twin would be the source itself. Pearson's correlation of the two at
    /// their best lag stays below 0.97 (two strokes of one bass drum reach 0.96), where one recording at two gains has 1.
    /// </summary>
    [Fact]
    public void Near_twins_are_two_recordings_and_yet_alike()
    {
        var tooAlike = new List<string>();
        foreach (var (first, second) in Recordings.NearTwins)
        {
            var alike = HighestCorrelation(Recordings.LoadMono(first), Recordings.LoadMono(second));
            if (alike > 0.97)
                tooAlike.Add($"{first} and {second}: {alike:0.000}");
        }
        Assert.True(tooAlike.Count == 0, string.Join("\n", tooAlike));
    }

    [Fact]
    public void Every_kit_stands_in_the_list_of_recordings_with_its_package_and_licence()
    {
        var rows = File.ReadAllLines(Path.Combine(RepositoryRoot.Find(), "docs", "test-recordings.md"))
            .Where(l => l.StartsWith("| ", StringComparison.Ordinal))
            .Select(l => l.Trim('|').Split('|').Select(c => c.Trim()).ToArray())
            .Where(c => c[0] is not ("kit" or "---"))
            .ToDictionary(c => c[0]);
        foreach (var kit in Recordings.All.Concat(Recordings.Strangers).GroupBy(r => r.Kit))
        {
            Assert.True(rows.TryGetValue(kit.Key, out var row), $"{kit.Key} is not in docs/test-recordings.md");
            Assert.Equal([kit.First().Package], kit.Select(r => r.Package).Distinct());
            Assert.Equal(kit.First().Package, row[2]);
            Assert.Equal(kit.First().Licence, row[4]);
        }
    }

    private static double HighestCorrelation(float[] a, float[] b)
    {
        var length = 1;
        while (length < a.Length + b.Length)
            length *= 2;
        var transform = new RealTransform(length);
        var (ar, ai) = Spectrum(transform, a);
        var (br, bi) = Spectrum(transform, b);
        for (var k = 0; k < ar.Length; k++)
            (ar[k], ai[k]) = (ar[k] * br[k] + ai[k] * bi[k], ai[k] * br[k] - ar[k] * bi[k]);
        var correlation = new float[length];
        transform.Inverse(ar, ai, correlation);
        return correlation.Max(Math.Abs) / Math.Sqrt(Energy(a) * Energy(b));
    }

    private static (float[] Re, float[] Im) Spectrum(RealTransform transform, float[] audio)
    {
        var padded = new float[transform.Length];
        audio.CopyTo(padded, 0);
        var (re, im) = (new float[transform.BinCount], new float[transform.BinCount]);
        transform.Forward(padded, re, im);
        return (re, im);
    }

    private static double Energy(float[] audio) => audio.Sum(v => (double)v * v);
}
