using Offtape.AudioFiles;
using Offtape.Bench;

namespace Offtape.Testing.Benches;

/// <summary>
/// A machine whose report was made by hand: what comes out is what is sent, 50 dB over the noise. So all that is said of a sound for it follows by
/// arithmetic.
/// </summary>
public static class StraightMachine
{
    public const string Name = "deck in the corner";

    /// <summary>Noise under operating level, in dB.</summary>
    public const double SignalToNoiseDb = 50;

    private const int RateHz = 48_000;

    /// <summary>A second of a sine of 1 kHz.</summary>
    /// <returns>The path.</returns>
    public static string Sine(string path, double peak)
    {
        using var writer = AudioWriter.Create(path, new AudioFormat(RateHz, 1, SampleEncoding.Float32));
        writer.Write([.. Enumerable.Range(0, RateHz).Select(i => (float)(peak * Math.Sin(2 * Math.PI * 1000 * i / RateHz)))]);
        writer.Complete();
        return path;
    }

    /// <param name="operatingLevelDbfs">Peak of the sine that stands at operating level.</param>
    /// <param name="channelCount">Each is as good.</param>
    public static BenchReport Report(double operatingLevelDbfs = -12, int channelCount = 1) =>
        new()
        {
            Machine = Name,
            How = HowTaken.Rewound,
            Capture = "capture.wav",
            SheetId = "sheet",
            OperatingLevelDbfs = operatingLevelDbfs,
            Facts = new ReportFacts(),
            Runs = [],
            Parts = [],
            Readings =
            [
                .. Enumerable
                    .Range(1, channelCount)
                    .Select(channel => new Reading
                    {
                        Quantity = "signalToNoiseUnweighted",
                        Channel = channel,
                        Unit = "dB",
                        Value = SignalToNoiseDb,
                        Method = "by hand",
                    }),
            ],
            Curves = [],
            Notices = [],
            Summary = "",
        };
}
