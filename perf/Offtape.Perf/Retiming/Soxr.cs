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

    [LibraryImport("libsoxr.so.0", EntryPoint = "soxr_oneshot")]
    private static partial nint OneShot(
        double inputRate,
        double outputRate,
        uint channelCount,
        float* input,
        nuint inputFrames,
        nuint* inputDone,
        float* output,
        nuint outputFrames,
        nuint* outputDone,
        void* ioSpec,
        QualitySpec* quality,
        void* runtimeSpec
    );

    /// <summary>One channel, float in and out, one thread (the library's own default). Returns the frames made.</summary>
    public static int Resample(ReadOnlySpan<float> input, double inputRate, double outputRate, Span<float> output)
    {
        var quality = MakeQualitySpec(VeryHighQuality, 0);
        nuint inputDone,
            outputDone;
        fixed (float* from = input)
        fixed (float* to = output)
        {
            var error = OneShot(
                inputRate,
                outputRate,
                1,
                from,
                (nuint)input.Length,
                &inputDone,
                to,
                (nuint)output.Length,
                &outputDone,
                null,
                &quality,
                null
            );
            if (error != 0)
                throw new InvalidOperationException(Marshal.PtrToStringUTF8(error));
        }
        return (int)outputDone;
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
