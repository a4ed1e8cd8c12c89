using System.Security.Cryptography;
using System.Text.Json;
using Offtape.AudioFiles;
using Offtape.Testing;

namespace Offtape.Signal.Tests.Loudness;

/// <summary>
/// A second opinion on real recordings: ffmpeg's ebur128 filter on ten files of Debian packages, measured beforehand by
/// tools/reference/loudness_ffmpeg.py (versions and checksums in the fixture). Tolerances: 0.1 LU, the accuracy that EBU Tech 3341 asks
/// of a meter, and 0.2 dB of true peak, its upper tolerance. Skipped, with its reason, where a package is not installed.
/// </summary>
public sealed class RealRecordingsTests
{
    private const double ToleranceLu = 0.1;
    private const double TolerancePeakDb = 0.2;

    private static readonly JsonElement Fixture = JsonDocument
        .Parse(File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "Loudness", "loudness-ffmpeg.json")))
        .RootElement;

    public static TheoryData<string> Paths() =>
        [.. Fixture.GetProperty("recordings").EnumerateArray().Select(row => row.GetProperty("path").GetString()!)];

    [Theory]
    [MemberData(nameof(Paths))]
    public void Loudness_and_true_peak_agree_with_ffmpeg(string path)
    {
        var row = Row(path);
        SkipUnlessInstalled(row);
        var meter = Measure([path]);
        Measured.Within(row.GetProperty("integratedLufs").GetDouble(), meter.IntegratedLufs, ToleranceLu, "I in LUFS");
        var peakDbtp = 20 * Math.Log10(row.GetProperty("truePeakLinear").GetDouble());
        Measured.Within(peakDbtp, meter.TruePeakDbtp, TolerancePeakDb, "true peak in dBTP");
    }

    /// <summary>One programme of several recordings, long enough that a rank more or less cannot be seen in the range.</summary>
    [Fact]
    public void Loudness_range_of_a_programme_agrees_with_ffmpeg()
    {
        var programme = Fixture.GetProperty("programme");
        string[] paths = [.. programme.GetProperty("paths").EnumerateArray().Select(path => path.GetString()!)];
        foreach (var path in paths)
            SkipUnlessInstalled(Row(path));
        var meter = Measure(paths);
        Measured.Within(programme.GetProperty("integratedLufs").GetDouble(), meter.IntegratedLufs, ToleranceLu, "I in LUFS");
        Measured.Within(programme.GetProperty("loudnessRangeLu").GetDouble(), meter.LoudnessRangeLu, ToleranceLu, "LRA in LU");
    }

    private static LoudnessMeter Measure(IReadOnlyList<string> paths)
    {
        LoudnessMeter? meter = null;
        foreach (var path in paths)
        {
            using var reader = AudioFile.Open(path);
            meter ??= new LoudnessMeter(reader.Format.ChannelCount, reader.Format.SampleRateHz);
            Assert.Equal((meter.ChannelCount, meter.SampleRateHz), (reader.Format.ChannelCount, reader.Format.SampleRateHz));
            var block = new float[10_000 * meter.ChannelCount];
            long at = 0;
            for (int got; (got = reader.Read(at, block)) > 0; at += got)
                meter.Add(block.AsSpan(0, got * meter.ChannelCount));
        }
        return meter!;
    }

    private static JsonElement Row(string path) =>
        Fixture.GetProperty("recordings").EnumerateArray().Single(row => row.GetProperty("path").GetString() == path);

    private static void SkipUnlessInstalled(JsonElement row)
    {
        var (path, package) = (row.GetProperty("path").GetString()!, row.GetProperty("package").GetString());
        if (!File.Exists(path))
            Assert.Skip($"{path} is not there: install {package}.");
        if (
            !string.Equals(
                Convert.ToHexStringLower(SHA256.HashData(File.ReadAllBytes(path))),
                row.GetProperty("sha256").GetString(),
                StringComparison.Ordinal
            )
        )
            Assert.Skip($"{path} is not the recording of {package} that was measured.");
    }
}
