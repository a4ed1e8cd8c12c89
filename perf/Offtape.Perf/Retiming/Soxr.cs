using System.Runtime.InteropServices;

namespace Offtape.Perf;

/// <summary>libsoxr as a second resampler, to race against. Measurements only; the program has none of it.</summary>
internal static unsafe partial class Soxr
{
    /// <summary>SOXR_VHQ: 28 bits, pass band to 0.913, stop band from 1.0 of the lower Nyquist.</summary>
    private const uint VeryHighQuality = 6;

    public static string Version => Marshal.PtrToStringUTF8(VersionPointer()) ?? "";

    [LibraryImport("libsoxr.so.0", EntryPoint = "soxr_version")]
    private static partial nint VersionPointer();

    [LibraryImport("libsoxr.so.0", EntryPoint = "soxr_quality_spec")]
    private static partial QualitySpec MakeQualitySpec(nuint recipe, nuint flags);

    [LibraryImport("libsoxr.so.0", EntryPoint = "soxr_create")]
    private static partial nint Create(
        double inputRate,
        double outputRate,
        uint channelCount,
        nint* error,
        void* ioSpec,
        QualitySpec* quality,
        void* runtimeSpec
    );

    [LibraryImport("libsoxr.so.0", EntryPoint = "soxr_process")]
    private static partial nint Process(
        nint resampler,
        float* input,
        nuint inputFrames,
        nuint* inputDone,
        float* output,
        nuint outputFrames,
        nuint* outputDone
    );

    [LibraryImport("libsoxr.so.0", EntryPoint = "soxr_delete")]
    private static partial void Delete(nint resampler);

    /// <summary>A running resampler of one channel, float in and out, on one thread (the library's own default).</summary>
    public sealed class Stream : IDisposable
    {
        private readonly nint _resampler;

        public Stream(double inputRate, double outputRate)
        {
            var quality = MakeQualitySpec(VeryHighQuality, 0);
            nint error = 0;
            _resampler = Create(inputRate, outputRate, 1, &error, null, &quality, null);
            if (error != 0)
                throw new InvalidOperationException(Marshal.PtrToStringUTF8(error));
        }

        /// <summary>Takes a block in and gives what has become ready; returns its frames.</summary>
        public int Process(ReadOnlySpan<float> input, Span<float> output)
        {
            nuint inputDone,
                outputDone;
            fixed (float* from = input)
            fixed (float* to = output)
                Soxr.Process(_resampler, from, (nuint)input.Length, &inputDone, to, (nuint)output.Length, &outputDone);
            return (int)outputDone;
        }

        public void Dispose() => Delete(_resampler);
    }

    [StructLayout(LayoutKind.Sequential)]
    private struct QualitySpec
    {
        public double Precision;
        public double PhaseResponse;
        public double PassbandEnd;
        public double StopbandBegin;
        public nint Reserved;
        public nuint Flags;
    }
}
