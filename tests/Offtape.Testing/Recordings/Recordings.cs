using System.Collections.Concurrent;
using Offtape.Signal;

namespace Offtape.Testing;

/// <summary>
/// Real recordings for tests, at 48 kHz. They come from Debian packages that tools/test.sh installs; a missing file is an error that
/// names its package, never a test left out. Everything here is deterministic.
/// </summary>
public static class Recordings
{
    public const int SampleRateHz = 48_000;

    // Instrument patches end where a player would loop; a short fade stands for the hand that damps the note.
    private const double PatchFadeSeconds = 0.03;
    private static readonly ConcurrentDictionary<string, WeakReference<float[][]>> Loaded = new();

    /// <summary>The recordings that stand for a user's sounds.</summary>
    public static IReadOnlyList<Recording> All => RecordingTable.Known;

    /// <summary>Recordings that share no kit with <see cref="All"/>: something else that was on the tape.</summary>
    public static IReadOnlyList<Recording> Strangers => RecordingTable.Strangers;

    /// <summary>Pairs of <see cref="All"/> that are as near as two different recordings come.</summary>
    public static IReadOnlyList<NearTwins> NearTwins => RecordingTable.Twins;

    public static IReadOnlyList<Recording> OfKind(RecordingKind kind) => [.. All.Where(r => r.Kind == kind)];

    public static Recording Named(string name) =>
        All.Concat(Strangers).FirstOrDefault(r => r.Name == name)
        ?? throw new ArgumentException($"There is no recording \"{name}\".", nameof(name));

    /// <summary>One array a channel, full scale ±1, 48 kHz. The arrays are the caller's own.</summary>
    /// <exception cref="InvalidOperationException">The file is missing: the message names the package to install.</exception>
    public static float[][] Load(string name) => [.. Shared(name).Select(c => (float[])c.Clone())];

    /// <summary>The mean of the channels.</summary>
    public static float[] LoadMono(string name) => MonoOf(Shared(name));

    /// <summary>
    /// A phrase of so many seconds, mono, peak 0.5, played from different hits or notes of one kit of this kind: never the same bar
    /// twice. The same seed gives the same phrase.
    /// </summary>
    public static float[] Phrase(ulong seed, RecordingKind kind, double seconds) => PhraseMaker.Play(All, kind, seed, seconds);

    /// <summary>As <see cref="Phrase"/>, from <see cref="Strangers"/>.</summary>
    public static float[] StrangerPhrase(ulong seed, RecordingKind kind, double seconds) =>
        PhraseMaker.Play(Strangers, kind, seed, seconds);

    internal static float[][] Shared(string name)
    {
        if (Loaded.TryGetValue(name, out var kept) && kept.TryGetTarget(out var channels))
            return channels;
        channels = Read(Named(name));
        Loaded[name] = new WeakReference<float[][]>(channels);
        return channels;
    }

    internal static float[] MonoOf(float[][] channels)
    {
        var mono = new float[channels[0].Length];
        foreach (var channel in channels)
            for (var i = 0; i < mono.Length; i++)
                mono[i] += channel[i] / channels.Length;
        return mono;
    }

    internal static float[][] Read(Recording recording)
    {
        if (!File.Exists(recording.Path))
            throw new InvalidOperationException(
                $"The recording {recording.Name} is not on this machine ({recording.Path}): install the Debian package {recording.Package}; tools/test.sh does."
            );
        if (recording.PatchSample is { } index)
        {
            var (samples, rateHz) = PatchFile.Read(recording.Path, index);
            var note = AtCommonRate(samples, rateHz);
            Fades.Out(note, (int)(PatchFadeSeconds * SampleRateHz));
            return [note];
        }
        var sound = SoundFile.Read(recording.Path);
        return [.. sound.Channels.Select(c => AtCommonRate(c, sound.SampleRateHz))];
    }

    private static float[] AtCommonRate(float[] samples, int sampleRateHz)
    {
        if (sampleRateHz == SampleRateHz)
            return samples;
        var output = new float[(int)((long)samples.Length * SampleRateHz / sampleRateHz)];
        Retimer.RenderFixed(samples, 0, 0, (double)sampleRateHz / SampleRateHz, output);
        return output;
    }
}
