using Offtape.AudioFiles;
using Offtape.Base;

namespace Offtape.Bench;

/// <summary>The tone by which a machine is lined up.</summary>
/// <param name="Path">The file.</param>
/// <param name="FrequencyHz">Its frequency.</param>
/// <param name="LevelDbfs">Its peak: what stands for operating level from then on.</param>
/// <param name="LengthSeconds">Length of the loop.</param>
/// <param name="Steps">How to line up.</param>
public sealed record LineUpResult(string Path, int FrequencyHz, double LevelDbfs, double LengthSeconds, IReadOnlyList<BenchStep> Steps);

/// <summary>Writes a tone that may be played round and round: whole cycles, so that its end meets its beginning.</summary>
public static class LineUpJob
{
    public const string FileName = "lineup.wav";

    /// <summary>1 kHz, common practice and no source; cassettes may want 315 Hz (IEC 60094).</summary>
    public const int DefaultFrequencyHz = 1000;

    public const int CassetteFrequencyHz = 315;

    // Whole seconds hold whole cycles of whole hertz at any whole rate.
    private const int LengthSeconds = 10;
    private const double HighestLevelDbfs = -1;

    /// <param name="folder">Receives <c>lineup.wav</c>, 24 bits, with its loop marked.</param>
    /// <param name="sampleRateHz">Rate of the file.</param>
    /// <param name="channelCount">All carry the tone.</param>
    /// <param name="levelDbfs">Peak of the sine.</param>
    /// <param name="frequencyHz">Whole hertz, under half of the rate.</param>
    /// <param name="replace">Whether an existing file is replaced.</param>
    /// <exception cref="Fault">Usage: a level or rate that cannot be. Output: the file exists, or cannot be written.</exception>
    public static LineUpResult Run(string folder, int sampleRateHz, int channelCount, double levelDbfs, int frequencyHz, bool replace)
    {
        if (!(levelDbfs is >= BenchSheetRequest.LowestLevelDbfs and <= HighestLevelDbfs))
            throw Fault.Usage(
                $"The line-up tone lies between {Words.Number(BenchSheetRequest.LowestLevelDbfs, 0)} and {Words.Number(HighestLevelDbfs, 0)} dBFS, "
                    + $"not at {Words.Number(levelDbfs, 1)}"
            );
        if (2 * frequencyHz >= sampleRateHz)
            throw Fault.Usage($"A tone of {frequencyHz} Hz does not fit into a sample rate of {sampleRateHz} Hz");
        BenchFolder.CheckTargets(folder, replace, FileName);
        BenchFolder.Make(folder);
        var path = Path.Combine(folder, FileName);
        var frames = Render(sampleRateHz, levelDbfs, frequencyHz);
        var format = new AudioFormat(sampleRateHz, channelCount, SampleEncoding.Pcm24);
        var metadata = new AudioMetadata { Sampler = new SamplerInfo { Loops = [new SampleLoop(0, 0, 0, frames.Length - 1)] } };
        using var writer = AudioWriter.Create(path, format, metadata, new WriteOptions { Replace = replace });
        var interleaved = new float[frames.Length * channelCount];
        for (var i = 0; i < interleaved.Length; i++)
            interleaved[i] = frames[i / channelCount];
        writer.Write(interleaved);
        writer.Complete();
        return new LineUpResult(path, frequencyHz, levelDbfs, LengthSeconds, BenchSteps.ForLineUp(frequencyHz, levelDbfs));
    }

    internal static float[] Render(int sampleRateHz, double levelDbfs, int frequencyHz)
    {
        var peak = Conversions.DbToAmplitude(levelDbfs);
        var frames = new float[LengthSeconds * sampleRateHz];
        for (var i = 0; i < frames.Length; i++)
            // The cycles in whole numbers: the sample after the last is the first.
            frames[i] = (float)(peak * Math.Sin(2 * Math.PI * ((long)i * frequencyHz % sampleRateHz) / sampleRateHz));
        return frames;
    }
}
