using Offtape.Signal;

namespace Offtape.Perf;

/// <summary>The transform against FFTW: time in the same run, and error against FFTW in double precision.</summary>
internal static class TransformMeasurement
{
    /// <param name="arguments">[smallest log2 [largest log2 [seconds a row [vector width]]]].</param>
    public static int Run(string[] arguments)
    {
        var smallest = arguments.Length > 0 ? int.Parse(arguments[0]) : 6;
        var largest = arguments.Length > 1 ? int.Parse(arguments[1]) : 24;
        var seconds = arguments.Length > 2 ? double.Parse(arguments[2]) : 3;
        var lanes = arguments.Length > 3 ? int.Parse(arguments[3]) : 0;

        Machine.Print();
        Console.WriteLine(
            $"{Fftw.Version}, ESTIMATE plans, aligned arrays, out of place; vectors of {(lanes == 0 ? TransformPlan.WidestLanes : lanes)} floats"
        );
        Console.WriteLine();
        Console.WriteLine(
            "| length | real forward µs | FFTW µs | ratio | real inverse µs | complex forward µs | FFTW µs | ratio | error dB | FFTW error dB |"
        );
        Console.WriteLine("| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |");
        for (var log = smallest; log <= largest; log++)
            Console.WriteLine(Row(log, seconds, lanes));
        return 0;
    }

    private static string Row(int log, double seconds, int lanes)
    {
        var length = 1 << log;
        var random = new Random(log);
        var samples = new float[length];
        foreach (ref var value in samples.AsSpan())
            value = (float)(2 * random.NextDouble() - 1);

        var transform = new RealTransform(length, lanes);
        var re = new float[transform.BinCount];
        var im = new float[transform.BinCount];
        var back = new float[length];
        using var fftw = new Fftw.Single(length, real: true);
        samples.CopyTo(fftw.Input.Span);
        transform.Forward(samples, re, im);
        fftw.Execute();
        var truth = Fftw.RealSpectrum(samples);
        var error = ErrorDb(truth, k => (re[k], im[k]));
        var theirs = fftw.Output.Span.ToArray();
        var fftwError = ErrorDb(truth, k => (theirs[2 * k], theirs[2 * k + 1]));

        var complex = new ComplexTransform(length, lanes);
        var cRe = (float[])samples.Clone();
        var cIm = new float[length];
        using var fftwComplex = new Fftw.Single(length, real: false);
        samples.CopyTo(fftwComplex.Input.Span);
        var times = Race.BestMicroseconds(
            seconds,
            () => transform.Forward(samples, re, im),
            fftw.Execute,
            () => transform.Inverse(re, im, back),
            // Forward and back again, so that values do not grow from call to call; counted as one of two.
            () =>
            {
                complex.Forward(cRe, cIm);
                complex.Inverse(cRe, cIm);
            },
            fftwComplex.Execute
        );
        times[3] /= 2;
        return $"| 2^{log} | {times[0]:G4} | {times[1]:G4} | **{times[0] / times[1]:F2}** | {times[2]:G4} | {times[3]:G4} | {times[4]:G4} | {times[3] / times[4]:F2} | {error:F1} | {fftwError:F1} |";
    }

    private static double ErrorDb(double[] truth, Func<int, (float Re, float Im)> bin)
    {
        var (error, power) = (0.0, 0.0);
        for (var k = 0; k < truth.Length / 2; k++)
        {
            var (re, im) = bin(k);
            var (wantedRe, wantedIm) = (truth[2 * k], truth[2 * k + 1]);
            error += (re - wantedRe) * (re - wantedRe) + (im - wantedIm) * (im - wantedIm);
            power += wantedRe * wantedRe + wantedIm * wantedIm;
        }
        return 10 * Math.Log10(error / power);
    }
}
