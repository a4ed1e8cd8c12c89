using Offtape.Base;
using Offtape.Testing;

namespace Offtape.Bench.Tests;

/// <summary>Gain, DC and delay by arithmetic; delays against the handbook's figures for head distances.</summary>
public sealed class PathReaderTests
{
    [Fact]
    public void Gain_and_DC_are_those_of_the_way()
    {
        var capture = BenchRun.Of(
            ["level", "silence"],
            channels =>
            {
                for (var i = 0; i < channels[0].Length; i++)
                    channels[0][i] = 0.5f * channels[0][i] + 0.004f;
                BenchRun.AddNoise(channels[0], 0.001, 1);
            }
        );
        var findings = PathReader.Read(capture, new MachineFacts(), CancellationToken.None);
        Measured.Within(Conversions.AmplitudeToDb(0.5), findings.Only("pathGain", 1, "1 kHz, 0 dB").Value!.Value, 0.01);
        Measured.Within(0, findings.Only("pathGain", 2, "1 kHz, 0 dB").Value!.Value, 0.001);
        var direct = findings.Only("dcOffset", 1);
        // Of 9 s of white noise of 0.001 the mean scatters by 0.001/√432000, a thousandth of a per mille.
        Measured.Within(0.4, direct.Value!.Value, 0.001);
        Measured.Within(0.4, direct.Value.Value, 2 * direct.Uncertainty!.Value);
    }

    /// <summary>50.8 mm at 19.05 cm/s are 266.67 ms; at half the speed twice that (distance ÷ speed).</summary>
    [Fact]
    public void Off_tape_the_distance_of_the_heads_follows_from_the_delay_without_the_interface()
    {
        var sheet = BenchRun.Sheet("level");
        var facts = new MachineFacts
        {
            SpeedCmPerSecond = 19.05,
            InterfaceDelaySeconds = 0.0044,
            SendStartCaptureSeconds = 1.5,
        };
        var capture = BenchRun.Of(sheet, BenchRun.Late(sheet, 0, 0), HowTaken.OffTape, leadSeconds: 1.5 + 0.0044 + 0.26667);
        var findings = PathReader.Read(capture, facts, CancellationToken.None);
        Measured.Within(266.67, findings.Only("sendToReturnDelay").Value!.Value, 0.01);
        Measured.Within(50.8, findings.Only("headDistance").Value!.Value, 0.01);
        // 0.95 of ±1.5 % of tape speed, and the delay's own: 0.1 ms of 267.
        Measured.Within(0.01425 * 50.8, findings.Only("headDistance").Uncertainty!.Value, 0.01);
        Measured.Within(533.33, findings.Only("delayAtSpeed", null, "9.53 cm/s").Value!.Value, 0.1);
        Measured.Within(133.33, findings.Only("delayAtSpeed", null, "38.1 cm/s").Value!.Value, 0.1);
    }

    [Theory]
    [InlineData(HowTaken.Rewound, 1.5)]
    [InlineData(HowTaken.ForeignTape, 1.5)]
    [InlineData(HowTaken.OffTape, null)]
    public void No_delay_is_stated_where_none_can_be_known(HowTaken how, double? sendStart)
    {
        var sheet = BenchRun.Sheet("level");
        var capture = BenchRun.Of(sheet, BenchRun.Late(sheet, 0, 0), how, leadSeconds: 2);
        var facts = new MachineFacts { SpeedCmPerSecond = 19.05, SendStartCaptureSeconds = sendStart };
        var findings = PathReader.Read(capture, facts, CancellationToken.None);
        foreach (var quantity in (string[])["sendToReturnDelay", "headDistance"])
            Assert.True(findings.Only(quantity) is { Value: null, Reason.Length: > 0 });
    }
}
