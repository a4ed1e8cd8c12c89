using Offtape.Testing;

namespace Offtape.Studio.Tests;

/// <summary>From dBFS to volts to the meter to the tape and back, by the definitions of dBu, dBV and of a level of flux.</summary>
public sealed class LevelChainTests
{
    private static readonly LevelChain Chain = new()
    {
        OutputFullScaleDbu = 18,
        MeterZeroDbu = -7.7815,
        MeterZeroNanowebers = 200,
        OperatingNanowebers = 250,
        InputMaximumDbu = 11.16,
        TapeMaximumNanowebers = 500,
    };

    /// <summary>0.316228 V at the machine is 0 on its meter; full scale is √0.6 · 10^(18 ÷ 20) V.</summary>
    [Fact]
    public void Zero_on_the_meter_is_the_level_that_was_told()
    {
        var zero = Chain.AtMeter(0);
        Measured.Within(0.316228, zero.MachineVolts, 1e-5, "V");
        Measured.Within(-25.7815, zero.SendDbfs, 1e-9, "dBFS");
        Measured.Within(200, zero.NanowebersPerMetre, 1e-9, "nWb/m");
        Measured.Within(Math.Sqrt(0.6) * Math.Pow(10, 0.9), Chain.At(0).OutputVolts, 1e-9, "V");
    }

    /// <summary>250 nWb/m stand 1.938 dB over 200 (MRL Publication 070, arithmetic).</summary>
    [Fact]
    public void Operating_level_stands_where_its_flux_says()
    {
        Measured.Within(1.938, Chain.AtOperating.MeterDb, 5e-4, "dB on the meter");
        Measured.Within(0, Chain.AtOperating.OverOperatingDb, 1e-9, "dB");
        Measured.Within(-1.938, Chain.AtMeter(0).OverOperatingDb, 5e-4, "dB");
    }

    [Fact]
    public void Headroom_ends_at_whatever_gives_way_first()
    {
        // 500 over 250 nWb/m are 6.02 dB; the input gives way 17.0 dB and full scale 23.8 dB above operating level.
        Assert.Equal("the tape, at 3 % third harmonic", Chain.There.Limit);
        Measured.Within(20 * Math.Log10(2), Chain.There.Decibels, 1e-9, "dB");
        var noTape = Chain with { TapeMaximumNanowebers = null };
        Measured.Within(11.16 + 7.7815 - 1.938, noTape.There.Decibels, 1e-3, "dB");
        Measured.Within(25.7815 - 1.938, (noTape with { InputMaximumDbu = null }).There.Decibels, 1e-3, "dB");
        Measured.Within(25.7815 - 1.938, Chain.Back.Decibels, 1e-3, "dB back");
    }

    [Fact]
    public void An_attenuator_moves_the_send_and_nothing_else()
    {
        var padded = Chain with { PadDb = 20 };
        Measured.Within(Chain.AtMeter(0).SendDbfs + 20, padded.AtMeter(0).SendDbfs, 1e-9, "dBFS");
        Measured.Within(Chain.AtMeter(0).ReturnDbfs, padded.AtMeter(0).ReturnDbfs, 1e-9, "dBFS back");
    }

    [Theory]
    [InlineData(-40)]
    [InlineData(-12.5)]
    [InlineData(3)]
    public void There_and_back_again_it_is_the_same_point(double dbfs)
    {
        var point = Chain.At(dbfs);
        Measured.Within(dbfs, Chain.AtMeter(point.MeterDb).SendDbfs, 1e-9, "by the meter");
        Measured.Within(dbfs, Chain.AtMachineDbu(point.MachineDbu).SendDbfs, 1e-9, "by the volts");
        Measured.Within(dbfs, Chain.AtFlux(point.NanowebersPerMetre).SendDbfs, 1e-9, "by the flux");
    }
}
