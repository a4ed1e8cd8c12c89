using Offtape.Base;

namespace Offtape.Studio;

/// <summary>What interface, cable and machine have to be told for one scale of levels.</summary>
public static class LevelQuestion
{
    /// <summary>As the command calls it.</summary>
    public const string Name = "levels";

    private const double UsualMeterZero = 200;
    private const double UsualOperating = 250;
    private const double MostNanowebers = 5_000;

    /// <summary>What the interface gives for a full-scale sine.</summary>
    public static AskedField FullScale { get; } =
        AskedField.Level(
            "full-scale",
            "The interface gives at full scale",
            "what the interface gives for a full-scale sine: 18dBu, 6dBV, 2V"
        ) with
        {
            Hint = "as 18dBu, 6dBV or 2V",
        };

    /// <summary>Where the machine's meter says 0.</summary>
    public static AskedField Zero { get; } =
        AskedField.Level(
            "zero",
            "The machine's meter says 0 at",
            "the level at the machine's input at which its meter says 0: -10dBV, 4dBu, 0.775V"
        ) with
        {
            Hint = "as -10dBV, 4dBu or 0.775V",
        };

    private static readonly AskedField InputFullScale = AskedField.Level(
        "input-full-scale",
        "The interface takes at full scale",
        "what the interface takes for a full-scale sine; as its output unless told"
    ) with
    {
        Hint = "as its output unless told",
    };

    private static readonly AskedField Output = AskedField.Level(
        "output",
        "In replay the machine gives at 0",
        "what the machine gives when its meter says 0 in replay; as its input unless told"
    ) with
    {
        Hint = "as its input unless told",
    };

    private static readonly AskedField Most = AskedField.Level(
        "input-max",
        "The machine's input takes at most",
        "the most the machine's input takes"
    ) with
    {
        Hint = "not known",
    };

    private static readonly AskedField Pad = Number(
        "pad",
        "Taken off on the way there",
        "DB",
        "dB",
        "what leads and attenuators take off on the way there; 0 unless told",
        -0.000_001,
        120,
        "0 unless told"
    );

    private static readonly AskedField ReturnPad = Number(
        "return-pad",
        "Taken off on the way back",
        "DB",
        "dB",
        "what they take off on the way back; 0 unless told",
        -0.000_001,
        120,
        "0 unless told"
    );

    private static readonly AskedField ZeroFlux = Number(
        "zero-flux",
        "Flux at 0 on the meter",
        "NWB/M",
        "nWb/m",
        $"flux on tape at 0 on the meter; {UsualMeterZero:0} unless told",
        1,
        MostNanowebers,
        $"{UsualMeterZero:0} unless told"
    );

    private static readonly AskedField Operating = Number(
        "operating",
        "Operating level",
        "NWB/M",
        "nWb/m",
        $"flux called operating level; {UsualOperating:0} unless told",
        1,
        MostNanowebers,
        $"{UsualOperating:0} unless told"
    );

    private static readonly AskedField Tape = Number(
        "tape-max",
        "The tape gives 3 % third harmonic at",
        "NWB/M",
        "nWb/m",
        "flux at which the tape gives 3 % third harmonic",
        1,
        MostNanowebers,
        "not known"
    );

    private static readonly AskedField At = Number(
        "at",
        "One more level to show",
        "DBFS",
        "dBFS",
        "one more level to show, as the peak of a sine in the interface",
        -200,
        40,
        "none"
    );

    public static IReadOnlyList<AskedField> Fields { get; } =
    [FullScale, Zero, InputFullScale, Output, Most, Pad, ReturnPad, ZeroFlux, Operating, Tape, At];

    /// <summary>Those that matter most, besides what the interface gives.</summary>
    public static IReadOnlyList<AskedField> Shortest { get; } = [Zero, ZeroFlux, Operating];

    /// <exception cref="Fault">Usage: full scale or zero is not said.</exception>
    public static LevelScale Answer(Asked asked)
    {
        double Needed(AskedField field) =>
            asked.Number(field)
            ?? throw Fault.Usage(
                $"{asked.Self} needs {asked.Call(field)}",
                "It needs what the interface gives at full scale, and where the machine's meter says 0."
            );
        var chain = new LevelChain
        {
            OutputFullScaleDbu = Needed(FullScale),
            InputFullScaleDbu = asked.Number(InputFullScale),
            MeterZeroDbu = Needed(Zero),
            OutputAtMeterZeroDbu = asked.Number(Output),
            InputMaximumDbu = asked.Number(Most),
            PadDb = asked.Number(Pad) ?? 0,
            ReturnPadDb = asked.Number(ReturnPad) ?? 0,
            MeterZeroNanowebers = asked.Number(ZeroFlux) ?? UsualMeterZero,
            OperatingNanowebers = asked.Number(Operating) ?? UsualOperating,
            TapeMaximumNanowebers = asked.Number(Tape),
        };
        return LevelScale.Of(chain, asked.Number(At));
    }

    private static AskedField Number(
        string name,
        string label,
        string unit,
        string unitText,
        string words,
        double above,
        double below,
        string hint
    ) => AskedField.Number(name, label, unit, unitText, words, above, below) with { Hint = hint };
}
