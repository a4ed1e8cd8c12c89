using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Testing;

namespace Offtape.Bench.Tests;

/// <summary>The line-up tone: a sine of the stated level that goes on through its own end.</summary>
public sealed class LineUpJobTests
{
    [Theory, InlineData(44_100, 1000), InlineData(48_000, 1000), InlineData(48_000, 315), InlineData(96_000, 315)]
    public void The_end_of_the_loop_meets_its_beginning(int rate, int frequencyHz)
    {
        var loop = LineUpJob.Render(rate, -12, frequencyHz);
        var w = 2 * Math.PI * frequencyHz / rate;
        for (var i = 0; i < 100; i++)
        {
            // Across the seam as anywhere: each sample of a sine follows from the two before it, x[n] = 2·cos(w)·x[n − 1] − x[n − 2].
            var n = loop.Length - 50 + i;
            float At(int k) => loop[k % loop.Length];
            Measured.Within(2 * Math.Cos(w) * At(n - 1) - At(n - 2), At(n), 1e-6, $"frame {n}");
        }
        double power = 0;
        foreach (var value in loop)
            power += (double)value * value;
        // The RMS of a sine over whole cycles, to a float's rounding.
        Measured.Within(-12, 10 * Math.Log10(2 * power / loop.Length), 1e-5, "peak in dBFS");
    }

    [Fact]
    public void The_file_marks_its_loop_and_the_steps_begin_with_the_headphones()
    {
        var folder = Directory.CreateTempSubdirectory("offtape-bench").FullName;
        try
        {
            var result = LineUpJob.Run(folder, 48_000, 2, -14, 1000, replace: false);
            using (var reader = AudioFile.Open(result.Path))
            {
                Assert.Equal((2, 480_000L), (reader.Format.ChannelCount, reader.FrameCount));
                Assert.Equal((0L, 479_999L), (reader.Metadata.Sampler!.Loops[0].StartFrame, reader.Metadata.Sampler.Loops[0].EndFrame));
            }
            Assert.Contains("headphones off", result.Steps[0].Text, StringComparison.Ordinal);
            Assert.Contains(result.Steps, s => s.Text.Contains("\u221214 dBFS", StringComparison.Ordinal));
            Assert.Equal(
                ExitCode.OutputUnwritable,
                Assert.Throws<Fault>(() => LineUpJob.Run(folder, 48_000, 2, -14, 1000, replace: false)).ExitCode
            );
            Assert.Equal(ExitCode.Usage, Assert.Throws<Fault>(() => LineUpJob.Run(folder, 48_000, 2, 0, 1000, replace: true)).ExitCode);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }
}
