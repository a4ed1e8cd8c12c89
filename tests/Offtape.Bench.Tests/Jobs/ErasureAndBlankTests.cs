using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Testing;

namespace Offtape.Bench.Tests;

/// <summary>
/// From two recordings to a report: blank tape before and behind the signal, which hisses 4 dB less than recorded silence, and a second replay
/// whose tone was recorded over and left at −52 dB. Both by construction.
/// </summary>
public sealed class ErasureAndBlankTests : IDisposable
{
    private const int RateHz = 48_000;
    private const double ErasedDb = 52;
    private const double QuieterDb = 4;
    private const double HissRms = 1e-3;
    private readonly string _folder = Directory.CreateTempSubdirectory("offtape-bench").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void Weak_erasure_and_blank_tape_come_through_to_the_report()
    {
        var sheet = BenchSheetMaker.Make(new BenchSheetRequest { Parts = ["level", "silence", "erasure"] });
        sheet.Save(Path.Combine(_folder, BenchSheet.FileName));
        var part = sheet.Parts.Single(p => p.Name == "erasure");
        var first = Write("first.wav", Run(sheet, 1), 0);
        var erased = Run(sheet, 2);
        // Recorded over from the middle of the tone to its end, as the steps say.
        Fade(erased, part.StartSeconds + part.LengthSeconds / 2, part.StartSeconds + part.LengthSeconds);
        AddHiss(erased, sheet.LengthSeconds, 20);
        var second = Write("second.wav", erased, sheet.Slates[^2].StartSeconds + Lead - 1);

        var result = BenchReadJob.Run(
            new BenchReadRequest
            {
                Captures = [first],
                ErasedCapture = second,
                How = HowTaken.Rewound,
                TargetFolder = Path.Combine(_folder, "report"),
            },
            JobProgress.None,
            TestContext.Current.CancellationToken
        );

        Assert.Equal(ExitCode.Done, result.ExitCode);
        for (var channel = 1; channel <= 2; channel++)
        {
            var left = result.Report.Find("erasure", channel, "1 kHz")!;
            // Twice what holds it 95 times in 100.
            Measured.Within(-ErasedDb, left.Value!.Value, 2 * left.Uncertainty!.Value, "what is left in dB");
            Measured.AtMost(1, left.Uncertainty.Value);
            var recorded = result.Report.Find("noiseUnweighted", channel, "recorded silence")!;
            var blank = result.Report.Find("noiseUnweighted", channel, "blank tape")!;
            Measured.Within(
                QuieterDb,
                recorded.Value!.Value - blank.Value!.Value,
                2 * double.Hypot(recorded.Uncertainty!.Value, blank.Uncertainty!.Value),
                "how much quieter blank tape is, in dB"
            );
        }
        Assert.Contains(result.Report.Diagnosis!.Findings, f => f.Rule == "weak-erasure");
        Assert.Equal(false, Yardstick.Hold(result.Report).Single(l => l.Words.StartsWith("erasure", StringComparison.Ordinal)).Holds);
        Assert.Contains("weak erasure", File.ReadAllText(result.Files[1]), StringComparison.OrdinalIgnoreCase);
    }

    private const double Lead = 3;

    private static float[][] Run(BenchSheet sheet, int seed)
    {
        float[][] channels =
        [
            .. BenchSignal
                .Render(sheet)
                .Select(c => (float[])[.. new float[(int)(Lead * RateHz)], .. c, .. new float[(int)(Lead * RateHz)]]),
        ];
        if (seed == 1)
            AddHiss(channels, sheet.LengthSeconds, seed);
        return channels;
    }

    private static void Fade(float[][] channels, double fromSeconds, double toSeconds)
    {
        var gain = (float)Conversions.DbToAmplitude(-ErasedDb);
        foreach (var channel in channels)
        {
            for (var i = (int)((fromSeconds + Lead) * RateHz); i < (int)((toSeconds + Lead) * RateHz); i++)
                channel[i] *= gain;
        }
    }

    // Before and behind the signal no head has magnetised the tape.
    private static void AddHiss(float[][] channels, double sendSeconds, int seed)
    {
        var quieter = Conversions.DbToAmplitude(-QuieterDb);
        for (var c = 0; c < channels.Length; c++)
        {
            var hiss = new float[channels[c].Length];
            BenchRun.AddNoise(hiss, HissRms, 10 * seed + c);
            for (var i = 0; i < hiss.Length; i++)
            {
                var send = (double)i / RateHz - Lead;
                channels[c][i] += (float)(send < 0 || send > sendSeconds ? quieter * hiss[i] : hiss[i]);
            }
        }
    }

    private string Write(string name, float[][] channels, double fromSeconds)
    {
        var path = Path.Combine(_folder, name);
        using var writer = AudioWriter.Create(path, new AudioFormat(RateHz, channels.Length, SampleEncoding.Float32));
        var first = (int)(fromSeconds * RateHz);
        var interleaved = new float[channels.Length * (channels[0].Length - first)];
        for (var i = 0; i < interleaved.Length; i++)
            interleaved[i] = channels[i % channels.Length][first + i / channels.Length];
        writer.Write(interleaved);
        writer.Complete();
        return path;
    }
}
