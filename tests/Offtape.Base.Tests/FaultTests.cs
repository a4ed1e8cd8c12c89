using Offtape.Base;

namespace Offtape.Base.Tests;

public sealed class FaultTests
{
    [Fact]
    public void A_fault_says_file_matter_place_and_advice_in_one_line()
    {
        var fault = Fault.Input("folder/take 3.wav", "the format chunk says 0 channels", 22, "Record it again.");
        Assert.Equal("Cannot read \"take 3.wav\": the format chunk says 0 channels (at byte 22). Record it again.", fault.Message);
        Assert.Equal(ExitCode.InputUnreadable, fault.ExitCode);
    }

    [Fact]
    public void Work_on_several_threads_fails_with_the_fault_of_one_of_them()
    {
        var fault = Fault.Output("kit-tape.wav", "the disk is full");
        Assert.Same(fault, Fault.Among(new AggregateException(new InvalidOperationException(), new AggregateException(fault))));
        Assert.Same(fault, Fault.Among(fault));
        Assert.Null(Fault.Among(new AggregateException(new InvalidOperationException())));
    }

    [Fact]
    public void A_part_of_a_job_reports_its_share_of_the_whole()
    {
        var seen = new List<double>();
        var half = JobProgress.To(s => seen.Add(s.Fraction)).Part(0.5, 1).Part(0.5, 1);
        half.Report("finding", 0, "");
        half.Report("finding", 2, "");
        Assert.Equal([0.75, 1.0], seen);
    }
}
