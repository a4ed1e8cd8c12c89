using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Bench;
using Offtape.Signal;
using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Studio.Tests;

/// <summary>
/// The whole way: a simulated deck is measured by the bench, its report says how loud to send a sound, the sound is printed so, and what came back is
/// measured. The truth is the same deck without its bend, or without its noise, frame for frame.
/// </summary>
public sealed class AdvisedPrintTests(AdvisedPrintTests.MeasuredDeck deck) : IClassFixture<AdvisedPrintTests.MeasuredDeck>
{
    private const int RateHz = 48_000;

    // The bench sees tape and equalisers as one bend; the sound meets the lift in front of the tape with all its frequencies. A tenth of the distortion
    // (0.8 dB) is twice what that made of four kinds of sound; 0.02 % is what the curve's fit may leave of next to none.
    private const double DistortionShare = 0.1;
    private const double DistortionPercent = 0.02;

    // The expanded uncertainty that the report states of its signal-to-noise, about 0.3 dB, and a tenth for the level that the bend takes off the sound.
    private const double NoiseDb = 0.4;

    // The spectrum is told in thirds of an octave, the response as means over them.
    private const double TrebleDb = 0.3;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    // Dull, so that there is treble to lose; without modulation noise, which the advice does not foretell; speed is not what is looked at.
    private static readonly MachineModel Deck = MachinePresets.TypicalDeck with
    {
        Transport = new TransportModel(),
        Sound = MachinePresets.TypicalDeck.Sound with { TrebleLimitHz = 9000 },
        Noise = new NoiseModel { SignalToNoiseDb = 52 },
        Tracks = new TrackModel(),
    };

    [Fact]
    public void What_is_foretold_is_what_comes_back()
    {
        var report = deck.Report;
        foreach (var stem in LanternQuay.Render(RateHz))
        {
            var mono = stem.Channels[0];
            var path = Path.Combine(deck.Folder, stem.FileName + ".wav");
            Write(path, [mono]);
            var advice = SendAdvisor.Of(SoundMeter.Of(path, JobProgress.None, Cancellation), report);
            foreach (var row in advice.Rows)
            {
                var what = $"{stem.Name}, {row.Name} operating level";
                var send = new[] { Scaled(mono, row.GainDb!.Value) };
                var bent = Print(Deck with { Noise = new NoiseModel() }, send);
                var straight = Print(Deck with { Noise = new NoiseModel(), Sound = Deck.Sound with { Curve = TapeCurve.Straight } }, send);
                var noisy = Print(Deck, send);

                var gain = Dot(bent, straight) / Dot(straight, straight);
                var added = Math.Sqrt(bent.Zip(straight, (b, s) => Math.Pow(b - gain * s, 2)).Sum() / Dot(straight, straight)) / gain * 100;
                Measured.Within(
                    added,
                    row.DistortionPercent!.Value,
                    DistortionShare * added + DistortionPercent,
                    $"{what}: distortion in %"
                );

                var noise = Math.Sqrt(noisy.Zip(bent, (n, b) => Math.Pow(n - b, 2)).Average());
                var back = row.GainDb.Value + 20 * Math.Log10(gain);
                Measured.Within(20 * Math.Log10(noise) - back, row.NoiseDbfs!.Value, NoiseDb, $"{what}: noise in dBFS of the file");
            }
        }
    }

    /// <summary>Treble of a quiet sound by the response; the bend is then next to nothing, and both ends of the way are measured by one filter.</summary>
    [Fact]
    public void Treble_is_lost_as_foretold()
    {
        var report = deck.Report;
        var kit = LanternQuay.Render(RateHz).MaxBy(s => Treble(s.Channels[0]) / Dot(s.Channels[0], s.Channels[0]))!;
        var path = Path.Combine(deck.Folder, kit.FileName + ".wav");
        Write(path, [kit.Channels[0]]);
        var advice = SendAdvisor.Of(SoundMeter.Of(path, JobProgress.None, Cancellation), report);
        var row = advice.Rows[0];
        var send = Scaled(kit.Channels[0], row.GainDb!.Value);
        var back = Print(Deck with { Noise = new NoiseModel() }, [send]);
        // Operating level comes back at operating level: what is missing in the treble is the loss.
        var lost = 10 * Math.Log10(Treble(send) / Treble(back));
        Measured.Within(
            lost,
            row.TrebleLossDb!.Value + row.TrebleCompressionDb!.Value,
            TrebleDb,
            $"dB of treble lost by {kit.Name} ({row.TrebleLossDb:0.00} and {row.TrebleCompressionDb:0.00})"
        );
        Assert.True(lost > 0.5, $"A deck to 9 kHz takes treble off, here {lost:0.00} dB.");
    }

    private static float[] Print(MachineModel model, float[][] send)
    {
        var operating = BenchSheetRequest.DefaultLevelDbfs;
        return new SimulatedMachine(
            model with
            {
                SendOperatingLevelDbfs = operating,
                CaptureOperatingLevelDbfs = operating,
                TrackCount = send.Length,
            },
            4
        )
            .Run(
                send,
                RateHz,
                new RunOptions
                {
                    LeadSeconds = 0.5,
                    LeadScatterSeconds = 0,
                    TailSeconds = 0.5,
                }
            )
            .Channels[0];
    }

    private static double Treble(float[] samples)
    {
        // From the edge of the third octave at 6.3 kHz to that of the one at 16 kHz (IEC 61260-1).
        var spectra = SegmentSpectra.Of(samples, RateHz, 8192);
        return spectra.Power(spectra.Weights(5623.4, 17_783)).Mean * samples.Length;
    }

    private static double Dot(float[] a, float[] b) => a.Zip(b, (x, y) => (double)x * y).Sum();

    private static float[] Scaled(float[] samples, double gainDb) => Array.ConvertAll(samples, s => (float)(s * Math.Pow(10, gainDb / 20)));

    private static void Write(string path, float[][] channels)
    {
        using var writer = AudioWriter.Create(
            path,
            new AudioFormat(RateHz, channels.Length, SampleEncoding.Float32),
            null,
            new WriteOptions { Replace = true }
        );
        var frames = new float[channels[0].Length * channels.Length];
        for (var i = 0; i < channels[0].Length; i++)
        for (var c = 0; c < channels.Length; c++)
            frames[i * channels.Length + c] = channels[c][i];
        writer.Write(frames);
        writer.Complete();
    }

    /// <summary>The deck after its bench, measured once for all tests.</summary>
    public sealed class MeasuredDeck : IDisposable
    {
        public string Folder { get; } = Directory.CreateTempSubdirectory("offtape-advice").FullName;

        public BenchReport Report { get; }

        public MeasuredDeck()
        {
            var signals = BenchSignalsJob.Run(
                new BenchSheetRequest { Parts = ["level", "silence", "stairs", "sweep"] },
                Folder,
                true,
                JobProgress.None,
                Cancellation
            );
            float[][] send;
            using (var reader = AudioFile.Open(signals.SignalPath))
            {
                send = [.. Enumerable.Range(0, reader.Format.ChannelCount).Select(_ => new float[reader.FrameCount])];
                reader.ReadChannels(0, (int)reader.FrameCount, send);
            }
            var operating = signals.Sheet.OperatingLevelDbfs;
            var back = new SimulatedMachine(Deck with { SendOperatingLevelDbfs = operating, CaptureOperatingLevelDbfs = operating }, 4).Run(
                send,
                RateHz
            );
            var capture = Path.Combine(Folder, "capture.wav");
            Write(capture, back.Channels);
            Report = BenchReadJob
                .Run(
                    new BenchReadRequest
                    {
                        Captures = [capture],
                        SheetPath = Folder,
                        How = HowTaken.Rewound,
                        TargetFolder = Path.Combine(Folder, "report"),
                        Force = true,
                    },
                    JobProgress.None,
                    Cancellation
                )
                .Report;
        }

        public void Dispose() => Directory.Delete(Folder, recursive: true);
    }
}
