using Offtape.AudioFiles;
using Offtape.Base;

namespace Offtape.Web.Listening;

/// <summary>How the variants of a set are heard, all alike.</summary>
/// <param name="SampleRateHz">The source's rate, or the first file's where there is no source.</param>
/// <param name="ChannelCount">1 or 2: of files with more the first two are heard.</param>
/// <param name="FrameCount">As many frames as the longest has at that rate.</param>
internal readonly record struct HeardFormat(int SampleRateHz, int ChannelCount, long FrameCount)
{
    private const int MostChannels = 2;

    /// <summary>Of the files that can be read.</summary>
    /// <exception cref="Fault">None of them can be.</exception>
    public static HeardFormat Of(HeardSet set)
    {
        var heads = new List<(bool IsSource, AudioFormat Format, long FrameCount)>();
        Exception? last = null;
        foreach (var (variant, path) in set.Files)
        {
            try
            {
                using var reader = AudioFile.Open(path);
                heads.Add((variant == HeardSet.Source, reader.Format, reader.FrameCount));
            }
            catch (Exception error) when (error is Fault or IOException or UnauthorizedAccessException)
            {
                last = error;
            }
        }
        if (heads.Count == 0)
            throw last is null ? Fault.Incomplete("There is nothing to hear of this") : Fault.FromInputError(set.Name, last);
        var rate = heads.OrderByDescending(h => h.IsSource).First().Format.SampleRateHz;
        var frames = heads.Max(h =>
            h.Format.SampleRateHz == rate ? h.FrameCount : (long)Math.Ceiling((double)h.FrameCount * rate / h.Format.SampleRateHz)
        );
        return new HeardFormat(rate, Math.Min(MostChannels, heads.Max(h => h.Format.ChannelCount)), frames);
    }
}
