using CsCheck;

namespace Offtape.Report.Tests;

/// <summary>
/// The envelope of a waveform against its definition, written slowly here: column c holds the frames f with ⌊f·columns/frames⌋ = c, and shows
/// the least and the greatest of them. All comparisons are exact: nothing is computed but comparisons of floats.
/// </summary>
public sealed class WaveformTests
{
    private static readonly Gen<float[]> _audio = Gen.Float[-1, 1].Array[1, 400];

    [Fact]
    public void The_envelope_is_the_least_and_the_greatest_of_each_column() =>
        Gen.Select(_audio, Gen.Int[1, 500])
            .Sample(
                (audio, columns) =>
                {
                    var wave = Waveform.Of(audio, 48_000, 0, columns);
                    var (minima, maxima) = Definition(audio, Math.Min(columns, audio.Length));
                    return wave.Minima.SequenceEqual(minima) && wave.Maxima.SequenceEqual(maxima);
                }
            );

    [Fact]
    public void Where_blocks_end_makes_no_difference() =>
        Gen.Select(_audio, Gen.Int[1, 500], Gen.Int[0, 50].Array[1, 60])
            .Sample(
                (audio, columns, cuts) =>
                {
                    var whole = Waveform.Of(audio, 48_000, 0, columns);
                    var builder = new WaveformBuilder(audio.Length, columns);
                    var at = 0;
                    foreach (var cut in cuts)
                    {
                        var count = Math.Min(cut, audio.Length - at);
                        builder.Add(audio.AsSpan(at, count));
                        at += count;
                    }
                    builder.Add(audio.AsSpan(at));
                    return Same(whole, builder.Build(48_000));
                }
            );

    [Fact]
    public void Reset_is_a_new_builder()
    {
        float[] audio = [0.5f, -0.25f, 0.125f, 0.75f];
        var used = new WaveformBuilder(4, 2);
        used.Add([1f, -1f, 1f]);
        Assert.False(Same(used.Build(48_000), Waveform.Of(audio, 48_000, 0, 2)));
        used.Reset();
        used.Add(audio);
        Assert.True(Same(used.Build(48_000), Waveform.Of(audio, 48_000, 0, 2)));
    }

    [Fact]
    public void Adding_audio_allocates_nothing()
    {
        var block = new float[4096];
        var builder = new WaveformBuilder(1 << 20, 1200);
        builder.Add(block, 2, 1);
        var before = GC.GetAllocatedBytesForCurrentThread();
        for (var i = 0; i < 100; i++)
            builder.Add(block, 2, 1);
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }

    [Fact]
    public void One_channel_of_several_is_that_channel_alone()
    {
        var interleaved = Enumerable.Range(0, 300).Select(i => (float)Math.Sin(i * i)).ToArray();
        var second = Enumerable.Range(0, 100).Select(i => interleaved[i * 3 + 1]).ToArray();
        var builder = new WaveformBuilder(100, 7);
        builder.Add(interleaved, channelCount: 3, channelIndex: 1);
        Assert.True(Same(Waveform.Of(second, 48_000, 0, 7), builder.Build(48_000)));
    }

    [Fact]
    public void Silence_full_scale_denormals_and_broken_samples_give_finite_columns()
    {
        float[] audio = [0, 0, 1, -1, float.Epsilon, -float.Epsilon, float.NaN, float.PositiveInfinity, float.NaN, float.NegativeInfinity];
        var wave = Waveform.Of(audio, 48_000, 0, 5);
        Assert.Equal([0, -1, -float.Epsilon, 0, 0], wave.Minima);
        Assert.Equal([0, 1, float.Epsilon, 0, 0], wave.Maxima);
    }

    [Fact]
    public void Fewer_samples_than_columns_are_shown_one_by_one()
    {
        var wave = Waveform.Of([0.1f, 0.2f, 0.3f], 1000, startSeconds: 2, columnCount: 100);
        Assert.True(wave.IsSamples);
        Assert.Equal([0.1f, 0.2f, 0.3f], wave.Maxima);
        // Three samples at 1 kHz stand at 2.000, 2.001 and 2.002 s.
        Assert.Equal((2, 0.001, 2.002), (wave.StartSeconds, wave.SecondsPerColumn, wave.EndSeconds));
    }

    [Fact]
    public void Columns_cover_the_time_of_their_frames()
    {
        // 480 frames at 48 kHz are 10 ms; in 100 columns, 0.1 ms each.
        var wave = Waveform.Of(new float[480], 48_000, startSeconds: 1, columnCount: 100);
        Assert.False(wave.IsSamples);
        Assert.Equal(0.0001, wave.SecondsPerColumn, 15);
        Assert.Equal(1.01, wave.EndSeconds, 12);
    }

    [Fact]
    public void Nothing_is_a_waveform_too() => Assert.Equal(0, Waveform.Of([], 48_000).ColumnCount);

    private static bool Same(Waveform a, Waveform b) =>
        a.Minima.SequenceEqual(b.Minima)
        && a.Maxima.SequenceEqual(b.Maxima)
        && a.IsSamples == b.IsSamples
        && a.SecondsPerColumn == b.SecondsPerColumn;

    private static (float[] Minima, float[] Maxima) Definition(float[] audio, int columns)
    {
        var (minima, maxima) = (new float[columns], new float[columns]);
        for (var column = 0; column < columns; column++)
        {
            var frames = audio.Where((_, f) => (long)f * columns / audio.Length == column).ToArray();
            (minima[column], maxima[column]) = (frames.Min(), frames.Max());
        }
        return (minima, maxima);
    }
}
