using static Offtape.AudioFiles.Tests.Riff;

namespace Offtape.AudioFiles.Tests;

/// <summary>Values in float files that are no numbers.</summary>
public sealed class NonFiniteTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void They_are_read_as_silence_and_counted_once_however_they_are_read()
    {
        var path = Floats([1, float.NaN, float.PositiveInfinity, 0.5f, float.NegativeInfinity, -0.25f, float.MaxValue, float.Epsilon]);
        using var reader = AudioFile.Open(path);
        Assert.Empty(reader.Notices);
        float[] wanted = [1, 0, 0, 0.5f, 0, -0.25f, float.MaxValue, float.Epsilon];
        Assert.Equal(wanted, reader.ReadAll());
        var notice = Assert.Single(reader.Notices);
        Assert.Equal("damaged-file", notice.Code);
        Assert.Equal("\"f.wav\" holds 3 values that are no numbers. They are read as silence.", notice.Text);

        // Again, from other places: the same three.
        var block = new float[4];
        for (var start = 3; start >= 0; start--)
            reader.Read(start, block);
        Assert.Equal(wanted, reader.ReadAll());
        Assert.Equal([notice], reader.Notices);
    }

    [Fact]
    public void Read_exactly_they_are_what_they_are()
    {
        using var reader = AudioFile.Open(Floats([1, float.NaN, float.PositiveInfinity, -0.25f]));
        var values = reader.ReadAllExact();
        Assert.Equal([1, double.NaN, double.PositiveInfinity, -0.25], values);
        Assert.Empty(reader.Notices);
    }

    [Fact]
    public void They_join_the_notice_of_other_damage()
    {
        var bytes = Wave(
            Fmt(tag: 3, bits: 32),
            Chunk("data", 4_000, [.. BitConverter.GetBytes(float.NaN), .. BitConverter.GetBytes(0.5f)])
        );
        using var reader = AudioFile.Open(_folder.Put("f.wav", bytes));
        Assert.Equal([0, 0.5f], reader.ReadAll());
        Assert.EndsWith(
            "that are there. \"f.wav\" holds 1 value that is no number. It is read as silence.",
            Assert.Single(reader.Notices).Text,
            StringComparison.Ordinal
        );
    }

    /// <summary>A value of 64 bits that a float cannot hold is infinite as a float.</summary>
    [Fact]
    public void Beyond_the_range_of_a_float_is_no_number()
    {
        var bytes = Wave(
            Fmt(tag: 3, bits: 64, channels: 1),
            Chunk("data", [.. BitConverter.GetBytes(1e300), .. BitConverter.GetBytes(0.5)])
        );
        using var reader = AudioFile.Open(_folder.Put("d.wav", bytes));
        Assert.Equal([0, 0.5f], reader.ReadAll());
        Assert.Equal([1e300, 0.5], reader.ReadAllExact());
    }

    /// <summary>Wherever it stands, in the vectors of the search or in its rest.</summary>
    [Fact]
    public void None_is_overlooked()
    {
        for (var length = 1; length < 200; length++)
        {
            var samples = new float[length];
            samples.AsSpan().Fill(float.MaxValue);
            Assert.False(SampleDecoder.HasNonFinite(samples));
            for (var at = 0; at < length; at++)
                foreach (var bad in (float[])[float.NaN, -float.NaN, float.PositiveInfinity, float.NegativeInfinity])
                {
                    samples[at] = bad;
                    Assert.True(SampleDecoder.HasNonFinite(samples));
                    samples[at] = -float.MaxValue;
                }
        }
    }

    [Fact]
    public void Wild_access_keeps_the_count()
    {
        var samples = new float[2 * 20_000];
        for (var i = 0; i < samples.Length; i += 37)
            samples[i] = float.NaN;
        using var reader = AudioFile.Open(Floats(samples));
        var random = new Random(3);
        var block = new float[2 * 50];
        for (var i = 0; i < 4_000; i++)
            reader.Read(random.Next(20_000), block);
        _ = reader.ReadAll();
        Assert.Contains($"holds {(samples.Length + 36) / 37} values", Assert.Single(reader.Notices).Text, StringComparison.Ordinal);
    }

    private string Floats(float[] samples) =>
        _folder.Put("f.wav", Wave(Fmt(tag: 3, bits: 32), Chunk("data", [.. samples.SelectMany(BitConverter.GetBytes)])));
}
