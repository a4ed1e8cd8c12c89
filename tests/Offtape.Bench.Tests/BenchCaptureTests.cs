using Offtape.Tape;

namespace Offtape.Bench.Tests;

public sealed class BenchCaptureTests
{
    /// <summary>By arithmetic: the send begins half a second into the capture, and a capture second holds 1000 frames.</summary>
    [Theory]
    [InlineData(1.0, 1.25, 1500, 250)]
    [InlineData(-1.0, 0.25, 0, 750)]
    [InlineData(2.0, 9.0, 2500, 500)]
    public void A_stretch_of_the_send_is_cut_at_the_frames_where_it_is_heard(double from, double to, int firstFrame, int count)
    {
        var frames = new float[3000];
        for (var i = 0; i < frames.Length; i++)
            frames[i] = i;
        var sheet = new BenchSheet
        {
            FormatVersion = BenchSheet.CurrentFormatVersion,
            SheetId = "a",
            SampleRateHz = 1000,
            ChannelCount = 1,
            OperatingLevelDbfs = -12,
            LengthSeconds = 2.5,
            Parts = [],
            Slates = [],
        };
        var capture = new BenchCapture([frames], 1000, HowTaken.Rewound, sheet, TimeMap.Constant(0.5, 1, 2.5), []);

        var stretch = capture.Stretch(0, from, to);

        Assert.Equal(count, stretch.Length);
        Assert.Equal(firstFrame, stretch[0]);
    }
}
