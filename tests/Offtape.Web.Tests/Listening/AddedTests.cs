using Offtape.AudioFiles;
using Offtape.Web.Listening;

namespace Offtape.Web.Tests.Listening;

/// <summary>What the tape added, where it is known by formula what that is.</summary>
public sealed class AddedTests : IDisposable
{
    private const int Rate = 48_000;
    private const int Frames = 6 * Rate;
    private readonly string _folder = Directory.CreateTempSubdirectory("offtape-added-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    /// <summary>Tones by formula, so that a delay of a part of a frame is exact; −0.4 times, 2.37 frames late, and noise 60 dB under it.</summary>
    [Fact]
    public void Level_delay_and_polarity_are_found_and_what_is_left_is_the_noise()
    {
        var source = Tones(0);
        var noise = Noise(0.4 * Rms(source) / 1000, seed: 4);
        float[] take = [.. Tones(2.37).Select((s, i) => -0.4f * s + noise[i])];
        using var pair = Open(source, take);
        var fit = AddedFit.Of(pair.Source, pair.Take, pair.Format)![0];
        Assert.Equal(-2.5, fit.Gain, 2.5 * 1e-4);
        Assert.Equal(2.37, fit.DelayFrames, 0.005);
        // Places of the delay that are not found, 0.001 of a frame, leave 70 dB under the source beside the noise.
        Assert.Equal(60, fit.UnderDb, 0.6);
        var added = pair.Read(AddedFrames.Read, [fit]);
        Assert.Equal(Db(2.5 * Rms(noise)), Db(Rms(added)), 0.6);
    }

    /// <summary>A filter of three taps and noise 50 dB under it: with the tone aside the noise is left, without it the treble too.</summary>
    [Fact]
    public void With_the_tone_aside_only_what_no_filter_makes_is_left()
    {
        var source = Noise(0.1, seed: 1);
        var noise = Noise(0.1 / 316.2, seed: 2);
        var take = new float[Frames];
        for (var i = 1; i < Frames - 1; i++)
            take[i] = 0.2f * source[i - 1] + 0.7f * source[i] + 0.1f * source[i + 1] + noise[i];
        using var pair = Open(source, take);
        var fit = AddedFit.Of(pair.Source, pair.Take, pair.Format)![0];
        var half = fit.Tone.Length / 2;
        Assert.Equal(0.7, fit.Tone[half], 0.002);
        Assert.Equal(0.2, fit.Tone[half + 1], 0.002);
        Assert.Equal(0.1, fit.Tone[half - 1], 0.002);
        var aside = pair.Read(AddedFrames.ReadToneAside, [fit])[5000..^5000];
        // RMS of the filter: √(0.2² + 0.7² + 0.1²). Fitted taps take 1/64 of the noise's power, 0.07 dB.
        Assert.Equal(Db(Rms(noise) / Math.Sqrt(0.54)), Db(Rms(aside)), 0.3);
        Assert.True(Db(Rms(pair.Read(AddedFrames.Read, [fit]))) > Db(Rms(aside)) + 30);
    }

    [Fact]
    public void Pieces_join()
    {
        var source = Tones(0);
        float[] take = [.. Tones(0.6).Select((s, i) => 0.5f * s + 0.01f * MathF.Sin(i * i % 1000))];
        using var pair = Open(source, take);
        var fits = AddedFit.Of(pair.Source, pair.Take, pair.Format)!;
        var dice = new Random(9);
        foreach (var (read, tolerance) in new (AddedRead, double)[] { (AddedFrames.Read, 0), (AddedFrames.ReadToneAside, 1e-5) })
        {
            var whole = pair.Read(read, fits);
            for (var at = 0; at < Frames; )
            {
                var piece = new float[Math.Min(dice.Next(1, 30_000), Frames - at)];
                read(pair.Source, pair.Take, fits, pair.Format, at, piece);
                for (var i = 0; i < piece.Length; i++)
                    Assert.Equal(whole[at + i], piece[i], tolerance);
                at += piece.Length;
            }
        }
    }

    [Fact]
    public void Silence_has_no_difference()
    {
        using var pair = Open(Tones(0), new float[Frames]);
        Assert.Null(AddedFit.Of(pair.Source, pair.Take, pair.Format));
    }

    /// <summary>1 kHz by formula at 44.1 kHz, heard at 48 kHz: the formula at 48 kHz, within the retimer's −100 dB.</summary>
    [Fact]
    public void A_file_of_another_rate_is_heard_in_time_and_pieces_of_it_join()
    {
        var path = Path.Combine(_folder, "other.wav");
        ListeningDesk.Save(
            path,
            [.. Enumerable.Range(0, 3 * 44_100).Select(i => (float)(0.5 * Math.Sin(2 * Math.PI * 1000 * i / 44_100)))],
            sampleRateHz: 44_100
        );
        using var reader = AudioFile.Open(path);
        var format = new HeardFormat(Rate, 2, 3 * Rate);
        var heard = new float[2 * 20_000];
        HeardFrames.Read(reader, format, 40_000, heard);
        for (var i = 0; i < 20_000; i++)
        {
            Assert.Equal(0.5 * Math.Sin(2 * Math.PI * 1000 * (40_000 + i) / Rate), heard[2 * i], 1e-5);
            Assert.Equal(heard[2 * i], heard[2 * i + 1]);
        }
        var piece = new float[2 * 777];
        HeardFrames.Read(reader, format, 40_500, piece);
        Assert.Equal(heard[1000..(1000 + piece.Length)], piece);
        var beyond = new float[200];
        HeardFrames.Read(reader, format, 3 * Rate + 1000, beyond);
        Assert.All(beyond, s => Assert.Equal(0, s));
    }

    private delegate void AddedRead(
        IAudioReader source,
        IAudioReader take,
        IReadOnlyList<ChannelFit> fits,
        HeardFormat format,
        long fromFrame,
        Span<float> interleaved
    );

    private Pair Open(float[] source, float[] take)
    {
        var (a, b) = (Path.Combine(_folder, "source.wav"), Path.Combine(_folder, "take.wav"));
        ListeningDesk.Save(a, source);
        ListeningDesk.Save(b, take);
        return new Pair(AudioFile.Open(a), AudioFile.Open(b), new HeardFormat(Rate, 1, Frames));
    }

    private static float[] Tones(double delayFrames)
    {
        double[] hertz = [110, 233.1, 587.3, 1480, 3729, 7902];
        return
        [
            .. Enumerable
                .Range(0, Frames)
                .Select(i => i - delayFrames)
                // Swelling and dying away, so that a delay moves nothing over the ends.
                .Select(at => (at, Swell: at is > 0 and < Frames ? Math.Pow(Math.Sin(Math.PI * at / Frames), 2) : 0))
                .Select(p => (float)(p.Swell * hertz.Sum(f => 0.08 * Math.Sin(2 * Math.PI * f * p.at / Rate + f)))),
        ];
    }

    private static float[] Noise(double rms, int seed)
    {
        var dice = new Random(seed);
        // Even between ±√3 times the RMS.
        return [.. Enumerable.Range(0, Frames).Select(_ => (float)(rms * Math.Sqrt(3) * (2 * dice.NextDouble() - 1)))];
    }

    private static double Rms(float[] samples) => Math.Sqrt(samples.Average(s => (double)s * s));

    private static double Db(double amplitude) => 20 * Math.Log10(amplitude);

    private sealed record Pair(IAudioReader Source, IAudioReader Take, HeardFormat Format) : IDisposable
    {
        public float[] Read(AddedRead read, IReadOnlyList<ChannelFit> fits)
        {
            var all = new float[Frames];
            read(Source, Take, fits, Format, 0, all);
            return all;
        }

        public void Dispose()
        {
            Source.Dispose();
            Take.Dispose();
        }
    }
}
