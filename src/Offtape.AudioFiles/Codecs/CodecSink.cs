using System.Runtime.InteropServices;
using Offtape.Base;

namespace Offtape.AudioFiles;

/// <summary>Writes a file through the codec library. Integers are made here, so that rounding, clipping and dither are those of every file.</summary>
internal sealed class CodecSink : IAudioSink
{
    private const int BlockSamples = 16 * 1024;

    private readonly CodecLibrary _library;
    private readonly PendingFile _target;
    private readonly WritingBridge _bridge;
    private readonly AudioFormat _format;
    private readonly SampleQuantiser? _quantiser;
    private readonly int[] _integers;
    private nint _file;

    /// <exception cref="Fault">The container cannot hold the format.</exception>
    public CodecSink(CodecLibrary library, PendingFile target, AudioContainer container, AudioFormat format, TriangularDither? dither)
    {
        (_library, _target, _format) = (library, target, format);
        _bridge = new WritingBridge(target.Stream);
        _quantiser = format.IsFloat ? null : new SampleQuantiser(8 * format.BytesPerSample, dither);
        _integers = format.IsFloat ? [] : new int[BlockSamples / format.ChannelCount * format.ChannelCount];
        var number = CodecNumbers.Format(container, format.Encoding) ?? throw Refusal(container);
        var info = new CodecInfo
        {
            SampleRateHz = format.SampleRateHz,
            ChannelCount = format.ChannelCount,
            Format = number,
        };
        var callbacks = _bridge.Callbacks;
        _file = library.OpenVirtual(ref callbacks, CodecNumbers.ModeWrite, ref info, 0);
        _bridge.Rethrow();
        if (_file == 0)
            throw Refusal(container);
        // The library would note each channel's peak, which no one asked for.
        _ = library.Command(_file, CodecNumbers.AddPeakChunk, 0, 0);
    }

    public long ClippedSampleCount => _quantiser?.ClippedSampleCount ?? 0;

    public void Write(ReadOnlySpan<float> interleaved)
    {
        if (_quantiser is null)
        {
            Check(_library.WriteFloat(_file, ref MemoryMarshal.GetReference(interleaved), Frames(interleaved.Length)), interleaved.Length);
            return;
        }
        for (var done = 0; done < interleaved.Length; done += _integers.Length)
        {
            var part = interleaved.Slice(done, Math.Min(_integers.Length, interleaved.Length - done));
            for (var i = 0; i < part.Length; i++)
                _integers[i] = ToTop(_quantiser.FromFloat(part[i]));
            WriteIntegers(part.Length);
        }
    }

    public void WriteExact(ReadOnlySpan<double> interleaved)
    {
        if (_quantiser is null)
        {
            Check(_library.WriteDouble(_file, ref MemoryMarshal.GetReference(interleaved), Frames(interleaved.Length)), interleaved.Length);
            return;
        }
        for (var done = 0; done < interleaved.Length; done += _integers.Length)
        {
            var part = interleaved.Slice(done, Math.Min(_integers.Length, interleaved.Length - done));
            for (var i = 0; i < part.Length; i++)
                _integers[i] = ToTop(_quantiser.FromDouble(part[i]));
            WriteIntegers(part.Length);
        }
    }

    public void Finish()
    {
        var file = _file;
        _file = 0;
        var error = _library.Close(file);
        _bridge.Rethrow();
        if (error != 0)
            throw Fault.Output(_target.Path, "its end could not be written");
    }

    public void Dispose()
    {
        if (_file != 0)
            _ = _library.Close(_file);
        _file = 0;
    }

    private long Frames(int sampleCount) => sampleCount / _format.ChannelCount;

    /// <summary>The library takes integers of any width in the upper bits of 32.</summary>
    private int ToTop(int value) => value << (32 - 8 * _format.BytesPerSample);

    private void WriteIntegers(int sampleCount) =>
        Check(_library.WriteInt(_file, ref MemoryMarshal.GetArrayDataReference(_integers), Frames(sampleCount)), sampleCount);

    private void Check(long written, int sampleCount)
    {
        _bridge.Rethrow();
        if (written != Frames(sampleCount))
            throw Fault.Output(_target.Path, $"it cannot be encoded ({_library.LastError(_file)})");
    }

    private Fault Refusal(AudioContainer container)
    {
        var wanted =
            $"{Words.Count(_format.ChannelCount, "channel")} of {8 * _format.BytesPerSample}-bit "
            + $"{(_format.IsFloat ? "floats" : "integers")} at {_format.SampleRateHz} Hz";
        return container == AudioContainer.Flac
            ? Fault.Output(
                _target.Path,
                $"FLAC holds up to 8 channels of 16- or 24-bit integers, not {wanted}",
                "Write a .wav, or choose --depth 24."
            )
            : Fault.Output(_target.Path, $"this kind of file cannot hold {wanted}", "Write a .wav.");
    }
}
