using Offtape.Base;

namespace Offtape.Simulator;

/// <summary>One stem of the demo piece.</summary>
/// <param name="Name">Its name in words: "bowed glass".</param>
/// <param name="FileName">Its name as a file, without a suffix: "bowed-glass".</param>
/// <param name="Channels">One array for each channel; all stems are of one length and begin on the first beat.</param>
/// <param name="SampleRateHz">Their rate.</param>
public sealed record DemoStem(string Name, string FileName, float[][] Channels, int SampleRateHz);

/// <summary>
/// "Lantern Quay": ten bars at 84 beats a minute in D minor, made for this program's demo and tests out of nothing but code. Four stems, from
/// sustained to struck to noisy to low, as a day's work with tape would hold them. The same samples every time.
/// </summary>
public static class LanternQuay
{
    public const double BeatsPerMinute = 84;
    public const int BeatsPerBar = 4;
    public const int BarCount = 10;
    public const int DefaultSampleRateHz = 48_000;

    /// <summary>What rings on after the last bar.</summary>
    public const double RingSeconds = 3;

    private const ulong Seed = 0x1A47E24;

    internal const double BeatSeconds = 60 / BeatsPerMinute;

    public static double LengthSeconds => BarCount * BeatsPerBar * BeatSeconds + RingSeconds;

    /// <summary>The chords by bar as MIDI notes, root first, and how they are spread for the glass.</summary>
    internal static int[][] Chords { get; } =
    [
        [38, 57, 64, 65, 72],
        [34, 58, 62, 65, 69],
        [41, 57, 60, 64, 67],
        [36, 55, 60, 62, 67],
        [38, 57, 64, 65, 72],
        [31, 58, 62, 65, 70],
        [34, 58, 62, 65, 69],
        [33, 57, 62, 64, 69],
        [38, 57, 62, 65, 69],
        [38, 57, 62, 69, 74],
    ];

    /// <summary>All four stems: bowed glass and marimba and brushed kit in stereo, low pulse in mono. Peaks lie from −6 to −3 dBFS.</summary>
    public static IReadOnlyList<DemoStem> Render(int sampleRateHz = DefaultSampleRateHz)
    {
        if (!SampleRate.IsSupported(sampleRateHz))
            throw new ArgumentOutOfRangeException(nameof(sampleRateHz), sampleRateHz, "Not a supported sample rate.");
        var frames = (int)Conversions.SecondsToFrames(LengthSeconds, sampleRateHz);
        return
        [
            Stem("bowed glass", 2, -6, c => BowedGlass.Play(c, sampleRateHz, new Dice(Seed, "glass"))),
            Stem("marimba figure", 2, -3, c => Marimba.Play(c, sampleRateHz, new Dice(Seed, "marimba"))),
            Stem("brushed kit", 2, -3, c => BrushedKit.Play(c, sampleRateHz, new Dice(Seed, "kit"))),
            Stem("low pulse", 1, -4.5, c => LowPulse.Play(c, sampleRateHz)),
        ];

        DemoStem Stem(string name, int channelCount, double peakDbfs, Action<float[][]> play)
        {
            var channels = new float[channelCount][];
            for (var c = 0; c < channelCount; c++)
                channels[c] = new float[frames];
            play(channels);
            FadeEnd(channels, sampleRateHz);
            var peak = channels.Max(c => c.Max(Math.Abs));
            var gain = (float)(Conversions.DbToAmplitude(peakDbfs) / peak);
            foreach (var channel in channels)
            {
                for (var i = 0; i < channel.Length; i++)
                    channel[i] *= gain;
            }
            return new DemoStem(name, name.Replace(' ', '-'), channels, sampleRateHz);
        }
    }

    internal static double NoteHz(double midiNote) => 440 * Math.Pow(2, (midiNote - 69) / 12);

    internal static double BarSeconds(int bar) => bar * BeatsPerBar * BeatSeconds;

    // Whatever still rings is let down over the last second, so that every stem ends in silence.
    private static void FadeEnd(float[][] channels, int sampleRateHz)
    {
        foreach (var channel in channels)
        {
            for (var i = 0; i < sampleRateHz; i++)
                channel[channel.Length - 1 - i] *= (float)(0.5 - 0.5 * Math.Cos(Math.PI * i / sampleRateHz));
        }
    }
}
