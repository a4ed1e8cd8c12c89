using System.Runtime.InteropServices;

namespace Offtape.Perf;

/// <summary>The two FFTW libraries as oracles: single precision for the race, double for the truth. Measurements only; the program has none of it.</summary>
internal static unsafe partial class Fftw
{
    /// <summary>FFTW_ESTIMATE: a plan from a heuristic, without trying any.</summary>
    private const uint Estimate = 1 << 6;

    public static string Version =>
        Marshal.PtrToStringUTF8(NativeLibrary.GetExport(NativeLibrary.Load("libfftw3f.so.3"), "fftwf_version")) ?? "";

    [LibraryImport("libfftw3f.so.3", EntryPoint = "fftwf_malloc")]
    private static partial float* MallocSingle(nuint size);

    [LibraryImport("libfftw3f.so.3", EntryPoint = "fftwf_free")]
    private static partial void FreeSingle(void* pointer);

    [LibraryImport("libfftw3f.so.3", EntryPoint = "fftwf_plan_dft_r2c_1d")]
    private static partial nint PlanRealSingle(int length, float* input, float* output, uint flags);

    [LibraryImport("libfftw3f.so.3", EntryPoint = "fftwf_plan_dft_1d")]
    private static partial nint PlanComplexSingle(int length, float* input, float* output, int sign, uint flags);

    [LibraryImport("libfftw3f.so.3", EntryPoint = "fftwf_execute")]
    private static partial void ExecuteSingle(nint plan);

    [LibraryImport("libfftw3f.so.3", EntryPoint = "fftwf_destroy_plan")]
    private static partial void DestroySingle(nint plan);

    [LibraryImport("libfftw3.so.3", EntryPoint = "fftw_malloc")]
    private static partial double* MallocDouble(nuint size);

    [LibraryImport("libfftw3.so.3", EntryPoint = "fftw_free")]
    private static partial void FreeDouble(void* pointer);

    [LibraryImport("libfftw3.so.3", EntryPoint = "fftw_plan_dft_r2c_1d")]
    private static partial nint PlanRealDouble(int length, double* input, double* output, uint flags);

    [LibraryImport("libfftw3.so.3", EntryPoint = "fftw_execute")]
    private static partial void ExecuteDouble(nint plan);

    [LibraryImport("libfftw3.so.3", EntryPoint = "fftw_destroy_plan")]
    private static partial void DestroyDouble(nint plan);

    /// <summary>The spectrum of real samples in double precision: (re, im) pairs, length/2 + 1 of them.</summary>
    public static double[] RealSpectrum(ReadOnlySpan<float> samples)
    {
        var input = MallocDouble((nuint)samples.Length * sizeof(double));
        var output = MallocDouble(((nuint)samples.Length + 2) * sizeof(double));
        var plan = PlanRealDouble(samples.Length, input, output, Estimate);
        for (var i = 0; i < samples.Length; i++)
            input[i] = samples[i];
        ExecuteDouble(plan);
        var spectrum = new Span<double>(output, samples.Length + 2).ToArray();
        DestroyDouble(plan);
        FreeDouble(input);
        FreeDouble(output);
        return spectrum;
    }

    /// <summary>A single-precision plan with its own aligned arrays, out of place: real samples to half a spectrum, or complex to complex.</summary>
    public sealed class Single : IDisposable
    {
        private readonly float* input;
        private readonly float* output;
        private readonly nint plan;

        public Single(int length, bool real)
        {
            input = MallocSingle((nuint)length * 2 * sizeof(float));
            output = MallocSingle(((nuint)length + 2) * 2 * sizeof(float));
            plan = real ? PlanRealSingle(length, input, output, Estimate) : PlanComplexSingle(length, input, output, -1, Estimate);
            Input = new Memory(input, real ? length : 2 * length);
            Output = new Memory(output, real ? length + 2 : 2 * length);
        }

        public Memory Input { get; }

        public Memory Output { get; }

        public void Execute() => ExecuteSingle(plan);

        public void Dispose()
        {
            DestroySingle(plan);
            FreeSingle(input);
            FreeSingle(output);
        }

        public readonly struct Memory(float* first, int count)
        {
            public Span<float> Span => new(first, count);
        }
    }
}
