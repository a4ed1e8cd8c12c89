using Offtape.Base;

namespace Offtape.AudioFiles;

/// <summary>
/// Writes an audio file frame by frame: under a temporary name beside the target until <see cref="Complete"/>. Disposed before that,
/// nothing stays and a file that was there before is untouched. Memory does not grow with the length. The bytes depend on the input
/// alone.
/// </summary>
/// <remarks>
/// Integers are value · 2^(bits − 1) rounded to the nearest, ties to even; what does not fit saturates and is counted. Not thread-safe.
/// </remarks>
public sealed class AudioWriter : IDisposable
{
    private readonly PendingFile _file;
    private readonly IAudioSink _sink;
    private bool _isOver;

    private AudioWriter(AudioFormat format, PendingFile file, IAudioSink sink) => (Format, _file, _sink) = (format, file, sink);

    public AudioFormat Format { get; }

    /// <summary>Frames written so far.</summary>
    public long FrameCount { get; private set; }

    /// <summary>Samples that did not fit into the integers and were held at full scale. A value that is no number is written as 0 and counts too.</summary>
    public long ClippedSampleCount => _sink.ClippedSampleCount;

    /// <summary>Begins a file whose container follows from its extension; a .wav becomes RF64 by itself beyond 4 GB.</summary>
    /// <param name="path">The target.</param>
    /// <param name="format">Rate, channels and encoding.</param>
    /// <param name="metadata">What else the file is to say; null for nothing.</param>
    /// <param name="options">Null for the defaults: an existing file is not replaced, reduction to 16 bits is dithered.</param>
    /// <exception cref="Fault">
    /// The extension is not known, the container cannot hold the format, the file exists and is not to be replaced, or the folder cannot be
    /// written to.
    /// </exception>
    public static AudioWriter Create(string path, AudioFormat format, AudioMetadata? metadata = null, WriteOptions? options = null)
    {
        options ??= WriteOptions.Default;
        metadata ??= AudioMetadata.Empty;
        ArgumentOutOfRangeException.ThrowIfLessThan(format.ChannelCount, 1, nameof(format));
        ArgumentOutOfRangeException.ThrowIfGreaterThan(format.ChannelCount, AudioFormat.MostChannels, nameof(format));
        _ = new SampleRate(format.SampleRateHz);
        var container = options.Container ?? ContainerNames.FromPath(path);
        var dither = options.Dither ? new TriangularDither(options.DitherSeed) : null;
        var library = container is AudioContainer.Flac or AudioContainer.Caf or AudioContainer.W64
            ? options.FindLibrary() ?? throw CodecLibrary.MissingForWriting(path)
            : null;
        IContainerLayout? layout = container switch
        {
            AudioContainer.Wav or AudioContainer.Rf64 or AudioContainer.Bw64 => new RiffLayout(
                format,
                metadata,
                container.Value,
                options.RiffSizeLimitBytes
            ),
            AudioContainer.Aiff or AudioContainer.Aifc => new AiffLayout(format, metadata, container.Value, options.AiffSizeLimitBytes),
            AudioContainer.Flac or AudioContainer.Caf or AudioContainer.W64 => null,
            AudioContainer.Mp3 or AudioContainer.OggVorbis or AudioContainer.Opus => throw Fault.Output(
                path,
                "this kind of file loses sound, and is read but not written",
                "Use .wav, .aiff or .flac."
            ),
            _ => throw Fault.Output(path, "its ending names no kind of audio file", "Use .wav, .aiff or .flac."),
        };
        var file = PendingFile.Create(path, options.Replace, options.OpenTemporary);
        try
        {
            IAudioSink sink = layout is null
                ? new CodecSink(library!, file, container.Value, format, dither)
                : new PcmSink(file, layout, dither);
            return new AudioWriter(format, file, sink);
        }
        catch
        {
            file.Dispose();
            throw;
        }
    }

    /// <summary>Appends whole frames, 1.0 = full scale; dithered where they are reduced to 16 bits, unless the options say no.</summary>
    /// <exception cref="Fault">The disk is full, or the container can hold no more.</exception>
    public void Write(ReadOnlySpan<float> interleaved)
    {
        Count(interleaved.Length);
        _sink.Write(interleaved);
    }

    /// <summary>
    /// Appends whole frames without dither. Values that came from <see cref="IAudioReader.ReadExact"/> of a file of the same encoding are
    /// stored bit for bit.
    /// </summary>
    /// <inheritdoc cref="Write"/>
    public void WriteExact(ReadOnlySpan<double> interleaved)
    {
        Count(interleaved.Length);
        _sink.WriteExact(interleaved);
    }

    /// <summary>Makes the file whole, flushes it to the disk and gives it its name.</summary>
    /// <exception cref="Fault">It cannot be; nothing stays.</exception>
    public void Complete()
    {
        ObjectDisposedException.ThrowIf(_isOver, this);
        try
        {
            _sink.Finish();
            _file.Complete();
        }
        finally
        {
            Dispose();
        }
    }

    public void Dispose()
    {
        if (_isOver)
            return;
        _isOver = true;
        _sink.Dispose();
        _file.Dispose();
    }

    private void Count(int sampleCount)
    {
        ObjectDisposedException.ThrowIf(_isOver, this);
        if (sampleCount % Format.ChannelCount != 0)
            throw new ArgumentException(
                $"Whole frames of {Format.ChannelCount} samples are written, not {sampleCount} samples.",
                nameof(sampleCount)
            );
        FrameCount += sampleCount / Format.ChannelCount;
    }
}
