using System.Numerics;
using Offtape.AudioFiles;
using Offtape.Base;

namespace Offtape.Passes;

/// <summary>Finds the sources, and says of each what the plan needs to know.</summary>
internal static class SourceSurvey
{
    // Two steps of 16 bits, the most that dithered silence reaches (20·log10(2/32768) = −84.3 dBFS).
    private static readonly double SilencePeakLinear = 2.0 / 32_768;
    private const int BlockSamples = 1 << 16;

    /// <summary>The files asked for, a folder standing for the audio files in it, by name.</summary>
    /// <param name="sources">As the user named them.</param>
    /// <param name="sendPath">The send to be written: in a folder it is not a source, and neither is the send of another pass.</param>
    internal static IReadOnlyList<string> Expand(IReadOnlyList<string> sources, string sendPath) =>
        SoundFolders.Files(sources, f => SafePath.AreSame(f, sendPath) || SoundFolders.IsSend(f));

    /// <exception cref="Fault">Input: not readable, or nothing in it.</exception>
    internal static SourceFile Open(string path)
    {
        using var reader = AudioFile.Open(path);
        if (reader.FrameCount <= 0)
            throw Empty(path);
        return new SourceFile
        {
            Path = path,
            Name = Path.GetFileName(path),
            SampleRateHz = reader.Format.SampleRateHz,
            ChannelCount = reader.Format.ChannelCount,
            FrameCount = reader.FrameCount,
            TimeReferenceFrames = reader.Metadata.TimeReferenceFrames,
        };
    }

    /// <summary>Reads the whole source once: its peak, the frames that are really there, and its digest.</summary>
    internal static SourceFile Measure(SourceFile source, List<Notice> notices, Action<double> progress, CancellationToken cancellation)
    {
        using var reader = AudioFile.Open(source.Path);
        var block = new float[Math.Max(BlockSamples / source.ChannelCount, 1) * source.ChannelCount];
        float peak = 0;
        long frame = 0;
        while (true)
        {
            cancellation.ThrowIfCancellationRequested();
            var read = reader.Read(frame, block);
            if (read <= 0)
                break;
            peak = Math.Max(peak, Peak(block.AsSpan(0, read * source.ChannelCount)));
            frame += read;
            progress(0.8 * frame / source.FrameCount);
        }
        if (frame == 0)
            throw Empty(source.Path);
        notices.AddRange(reader.Notices);
        return source with
        {
            FrameCount = frame,
            PeakLinear = peak,
            Sha256 = FileDigest.Of(source.Path, share => progress(0.8 + 0.2 * share), cancellation),
        };
    }

    internal static bool IsSilent(SourceFile source) => source.PeakLinear <= SilencePeakLinear;

    private static Fault Empty(string path) => Fault.Input(path, "there is no sound in it: its length is zero", null, "Leave it out.");

    private static float Peak(ReadOnlySpan<float> samples)
    {
        var most = Vector<float>.Zero;
        var i = 0;
        for (; i + Vector<float>.Count <= samples.Length; i += Vector<float>.Count)
            most = Vector.Max(most, Vector.Abs(new Vector<float>(samples[i..])));
        float peak = 0;
        for (var lane = 0; lane < Vector<float>.Count; lane++)
            peak = Math.Max(peak, most[lane]);
        for (; i < samples.Length; i++)
            peak = Math.Max(peak, Math.Abs(samples[i]));
        return peak;
    }
}
