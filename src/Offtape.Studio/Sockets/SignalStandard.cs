using Offtape.Base;

namespace Offtape.Studio;

/// <summary>What kind of signal a socket gives or takes.</summary>
public enum SignalKind
{
    Line,

    /// <summary>The record line of a DIN socket: a weak current from the amplifier, a sensitive input on the recorder.</summary>
    DinRecord,
    Microphone,
    Instrument,
    Headphone,
    Speaker,
}

/// <summary>A usual level with its impedances; a socket that says nothing of its own has these.</summary>
/// <param name="Id">As it is written in files: <c>+4</c>.</param>
/// <param name="Words">As one says it.</param>
/// <param name="Kind">What kind of signal it is.</param>
/// <param name="NominalDbu">The level that is meant when it says 0 on a meter, RMS.</param>
/// <param name="OutputMaximumDbu">The most an output gives undistorted.</param>
/// <param name="InputMaximumDbu">The most an input takes undistorted.</param>
/// <param name="OutputOhms">Impedance of an output.</param>
/// <param name="InputOhms">Impedance of an input.</param>
/// <param name="Source">Where the figures come from, and what of them is from memory.</param>
public sealed record SignalStandard(
    string Id,
    string Words,
    SignalKind Kind,
    double NominalDbu,
    double OutputMaximumDbu,
    double InputMaximumDbu,
    double OutputOhms,
    double InputOhms,
    string Source
);

/// <summary>The usual levels.</summary>
public static class SignalStandards
{
    /// <summary>A DIN record output is a current source: so many volts for each ohm it is loaded with (1 mV for each kΩ).</summary>
    public const double DinVoltsPerOhm = 1e-6;

    private const double DinInputOhms = 20_000;

    /// <summary>IEC 61938: an input has to take 2.8 V undistorted.</summary>
    private const double HiFiOverloadVolts = 2.8;

    public static SignalStandard Professional { get; } =
        new(
            "+4",
            "line, +4 dBu",
            SignalKind.Line,
            4,
            20,
            20,
            150,
            10_000,
            "+4 dBu by definition; 16 dB above it and impedances: common practice, no source"
        );

    public static SignalStandard Consumer { get; } =
        new(
            "-10",
            "line, −10 dBV",
            SignalKind.Line,
            Conversions.VoltsToDbu(Conversions.DbvToVolts(-10)),
            Conversions.VoltsToDbu(2),
            Conversions.VoltsToDbu(HiFiOverloadVolts),
            2_200,
            22_000,
            "−10 dBV by definition; outputs at most 2.2 kΩ, inputs at least 22 kΩ and 2.8 V: IEC 61938; 2 V out: common practice, no source"
        );

    public static SignalStandard HiFi { get; } =
        new(
            "hifi",
            "line, 0.5 V",
            SignalKind.Line,
            Conversions.VoltsToDbu(0.5),
            Conversions.VoltsToDbu(2),
            Conversions.VoltsToDbu(HiFiOverloadVolts),
            2_200,
            22_000,
            "IEC 61938: 0.5 V, outputs at most 2.2 kΩ, inputs at least 22 kΩ and 2.8 V; 2 V out: common practice, no source"
        );

    public static SignalStandard DinRecord { get; } =
        new(
            "din-record",
            "DIN record line, 1 mV for each kΩ",
            SignalKind.DinRecord,
            Conversions.VoltsToDbu(DinInputOhms * DinVoltsPerOhm),
            Conversions.VoltsToDbu(DinInputOhms * DinVoltsPerOhm * 2),
            Conversions.VoltsToDbu(DinInputOhms * DinVoltsPerOhm * 2),
            470_000,
            DinInputOhms,
            "1 mV for each kΩ of load, record inputs about 20 kΩ: R. Mudhar; twice that as the most (DIN 45310) and 470 kΩ: from memory"
        );

    public static SignalStandard DinReplay { get; } =
        new(
            "din-replay",
            "DIN replay line, 0.5 V",
            SignalKind.Line,
            Conversions.VoltsToDbu(0.5),
            Conversions.VoltsToDbu(2),
            Conversions.VoltsToDbu(HiFiOverloadVolts),
            10_000,
            47_000,
            "about 0.5 V: R. Mudhar; impedances from memory"
        );

    public static SignalStandard Microphone { get; } =
        new("mic", "microphone", SignalKind.Microphone, -50, -10, -10, 200, 1_500, "common practice, no source");

    public static SignalStandard Instrument { get; } =
        new("instrument", "instrument", SignalKind.Instrument, -20, 4, 10, 10_000, 1_000_000, "common practice, no source");

    public static SignalStandard Headphone { get; } =
        new("headphone", "headphones", SignalKind.Headphone, 0, 12, 12, 33, 32, "common practice, no source");

    /// <summary>10 W in 8 Ω are 8.9 V.</summary>
    public static SignalStandard Speaker { get; } =
        new(
            "speaker",
            "loudspeaker",
            SignalKind.Speaker,
            Conversions.VoltsToDbu(Math.Sqrt(10 * 8)),
            Conversions.VoltsToDbu(Math.Sqrt(100 * 8)),
            Conversions.VoltsToDbu(Math.Sqrt(100 * 8)),
            0.1,
            8,
            "10 W in 8 Ω by arithmetic; the rest common practice, no source"
        );

    public static IReadOnlyList<SignalStandard> All { get; } =
    [Professional, Consumer, HiFi, DinRecord, DinReplay, Microphone, Instrument, Headphone, Speaker];
}
