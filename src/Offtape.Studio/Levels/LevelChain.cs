using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>
/// Interface, cable and machine as one scale: what a sine of a given peak in dBFS is in volts at the machine, on the machine's meter, on the
/// tape, and back in the interface. Levels in dBu are RMS of a sine; 0 dBFS is a sine that just reaches full scale.
/// </summary>
public sealed record LevelChain
{
    /// <summary>What the interface gives for a full-scale sine.</summary>
    public required double OutputFullScaleDbu { get; init; }

    /// <summary>What the interface takes for a full-scale sine; as its output unless told.</summary>
    public double? InputFullScaleDbu { get; init; }

    /// <summary>What the leads and attenuators take off on the way there.</summary>
    public double PadDb { get; init; }

    /// <summary>What they take off on the way back.</summary>
    public double ReturnPadDb { get; init; }

    /// <summary>The level at the machine's input at which its meter says 0.</summary>
    public required double MeterZeroDbu { get; init; }

    /// <summary>What the machine gives when its meter says 0 in replay; as its input unless told.</summary>
    public double? OutputAtMeterZeroDbu { get; init; }

    /// <summary>The most the machine's input takes; null where it is not known.</summary>
    public double? InputMaximumDbu { get; init; }

    /// <summary>The flux on tape at 0 on the meter, in nWb/m.</summary>
    public required double MeterZeroNanowebers { get; init; }

    /// <summary>The flux called operating level, in nWb/m.</summary>
    public required double OperatingNanowebers { get; init; }

    /// <summary>The flux at which the tape gives 3 % third harmonic, in nWb/m; null where it is not known.</summary>
    public double? TapeMaximumNanowebers { get; init; }

    /// <summary>The point of the chain that a level in the interface leads to.</summary>
    public LevelPoint At(double sendDbfs)
    {
        var atMachineDbu = OutputFullScaleDbu + sendDbfs - PadDb;
        var meterDb = atMachineDbu - MeterZeroDbu;
        var backDbu = (OutputAtMeterZeroDbu ?? MeterZeroDbu) + meterDb - ReturnPadDb;
        var flux = MeterZeroNanowebers * Conversions.DbToAmplitude(meterDb);
        return new LevelPoint(
            sendDbfs,
            Conversions.DbuToVolts(OutputFullScaleDbu + sendDbfs),
            atMachineDbu,
            Conversions.DbuToVolts(atMachineDbu),
            meterDb,
            flux,
            Fluxivity.LevelDb(flux, OperatingNanowebers),
            backDbu,
            backDbu - (InputFullScaleDbu ?? OutputFullScaleDbu)
        );
    }

    public LevelPoint AtMeter(double meterDb) => At(MeterZeroDbu + meterDb + PadDb - OutputFullScaleDbu);

    public LevelPoint AtMachineDbu(double dbu) => At(dbu + PadDb - OutputFullScaleDbu);

    public LevelPoint AtFlux(double nanowebers) => AtMeter(Fluxivity.LevelDb(nanowebers, MeterZeroNanowebers));

    public LevelPoint AtOperating => AtFlux(OperatingNanowebers);

    /// <summary>From operating level up to the first thing that gives way on the way there, and what that is.</summary>
    public Headroom There
    {
        get
        {
            var operating = AtOperating.SendDbfs;
            List<Headroom> limits = [new("full scale of the interface's output", -operating)];
            if (InputMaximumDbu is { } most)
                limits.Add(new("the machine's input", AtMachineDbu(most).SendDbfs - operating));
            if (TapeMaximumNanowebers is { } tape)
                limits.Add(new("the tape, at 3 % third harmonic", AtFlux(tape).SendDbfs - operating));
            return limits.MinBy(l => l.Decibels)!;
        }
    }

    /// <summary>From operating level up to full scale of the interface's input.</summary>
    public Headroom Back => new("full scale of the interface's input", -AtOperating.ReturnDbfs);
}

/// <summary>Room above operating level.</summary>
/// <param name="Limit">What gives way first.</param>
/// <param name="Decibels">How far above; below zero it gives way before operating level is reached.</param>
public sealed record Headroom(string Limit, double Decibels);

/// <summary>One level, everywhere in the chain.</summary>
public sealed record LevelPoint(
    double SendDbfs,
    double OutputVolts,
    double MachineDbu,
    double MachineVolts,
    double MeterDb,
    double NanowebersPerMetre,
    double OverOperatingDb,
    double ReturnDbu,
    double ReturnDbfs
);
