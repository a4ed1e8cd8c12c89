namespace Offtape.AudioFiles;

/// <summary>Takes the frames of a file that is being written.</summary>
internal interface IAudioSink : IDisposable
{
    long ClippedSampleCount { get; }

    void Write(ReadOnlySpan<float> interleaved);

    void WriteExact(ReadOnlySpan<double> interleaved);

    /// <summary>Writes what stands before and after the audio.</summary>
    void Finish();
}
