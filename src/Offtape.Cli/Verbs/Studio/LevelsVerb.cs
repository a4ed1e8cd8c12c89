using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Studio;

/// <summary>Interface, cable and machine as one scale.</summary>
internal static class LevelsVerb
{
    private const double UsualMeterZero = 200;
    private const double UsualOperating = 250;

    private const string Formula =
        "volts = √0.6 · 10^(dBu ÷ 20); at the machine = full scale + dBFS − pad; meter = that − its zero; flux = flux at 0 · 10^(meter ÷ 20)";

    public static Verb Create()
    {
        var sounds = new Argument<string[]>("SOUND")
        {
            Description = "sounds to say it for, with --bench; files or folders of them",
            Arity = ArgumentArity.ZeroOrMore,
        };
        var bench = Quantities.Text("--bench", "FILE|DIR", "report of the machine (bench.json) that says how loud to send these sounds");
        var channel = Quantities.Whole("--channel", "N", "channel of the machine in that report; 1 unless told", 1, 64);
        var fullScale = Level("--full-scale", "what the interface gives for a full-scale sine: 18dBu, 6dBV, 2V");
        var inputFullScale = Level("--input-full-scale", "what the interface takes for a full-scale sine; as its output unless told");
        var zero = Level("--zero", "the level at the machine's input at which its meter says 0: -10dBV, 4dBu, 0.775V");
        var output = Level("--output", "what the machine gives when its meter says 0 in replay; as its input unless told");
        var most = Level("--input-max", "the most the machine's input takes");
        var pad = Quantities.Number("--pad", "DB", "what leads and attenuators take off on the way there; 0 unless told", -0.000_001, 120);
        var returnPad = Quantities.Number("--return-pad", "DB", "what they take off on the way back; 0 unless told", -0.000_001, 120);
        var zeroFlux = Quantities.Number(
            "--zero-flux",
            "NWB/M",
            $"flux on tape at 0 on the meter; {UsualMeterZero:0} unless told",
            1,
            5_000
        );
        var operating = Quantities.Number("--operating", "NWB/M", $"flux called operating level; {UsualOperating:0} unless told", 1, 5_000);
        var tape = Quantities.Number("--tape-max", "NWB/M", "flux at which the tape gives 3 % third harmonic", 1, 5_000);
        var at = Quantities.Number("--at", "DBFS", "one more level to show, as the peak of a sine in the interface", -200, 40);
        var command = new Command("levels", "Says how loud to send: interface to tape as one scale, or for one sound.")
        {
            sounds,
            bench,
            channel,
            fullScale,
            inputFullScale,
            zero,
            output,
            most,
            pad,
            returnPad,
            zeroFlux,
            operating,
            tape,
            at,
        };
        return new Verb(
            command,
            "offtape levels --full-scale 18dBu --zero -10dBV --operating 250",
            (parsed, desk, cancellation) =>
            {
                if (parsed.GetValue(sounds) is { Length: > 0 } files)
                    return SoundLevels.Run(
                        files,
                        parsed.GetValue(bench)
                            ?? throw Fault.Usage(
                                "levels of a sound needs --bench",
                                "It is the bench.json that bench read wrote of the machine."
                            ),
                        parsed.GetValue(channel) ?? 1,
                        desk,
                        cancellation
                    );
                if (parsed.GetValue(bench) is not null)
                    throw Fault.Usage("--bench needs a sound", "Name the sounds that are to be sent: offtape levels kit.wav --bench deck");
                var chain = new LevelChain
                {
                    OutputFullScaleDbu = Dbu("--full-scale", parsed.GetValue(fullScale)) ?? throw Missing("--full-scale"),
                    InputFullScaleDbu = Dbu("--input-full-scale", parsed.GetValue(inputFullScale)),
                    MeterZeroDbu = Dbu("--zero", parsed.GetValue(zero)) ?? throw Missing("--zero"),
                    OutputAtMeterZeroDbu = Dbu("--output", parsed.GetValue(output)),
                    InputMaximumDbu = Dbu("--input-max", parsed.GetValue(most)),
                    PadDb = parsed.GetValue(pad) ?? 0,
                    ReturnPadDb = parsed.GetValue(returnPad) ?? 0,
                    MeterZeroNanowebers = parsed.GetValue(zeroFlux) ?? UsualMeterZero,
                    OperatingNanowebers = parsed.GetValue(operating) ?? UsualOperating,
                    TapeMaximumNanowebers = parsed.GetValue(tape),
                };
                return Run(chain, parsed.GetValue(at), desk);
            }
        );
    }

    private static ExitCode Run(LevelChain chain, double? at, Desk desk)
    {
        var rows = new List<LevelRow> { new("full scale of the interface", chain.At(0)) };
        if (chain.InputMaximumDbu is { } most)
            rows.Add(new("most the machine's input takes", chain.AtMachineDbu(most)));
        if (chain.TapeMaximumNanowebers is { } tape)
            rows.Add(new("3 % third harmonic of the tape", chain.AtFlux(tape)));
        rows.Add(new("operating level", chain.AtOperating));
        rows.Add(new("0 on the machine's meter", chain.AtMeter(0)));
        if (at is { } level)
            rows.Add(new("asked for", chain.At(level)));
        var answer = new LevelsAnswer([.. rows.OrderByDescending(r => r.Level.SendDbfs)], chain.There, chain.Back, Formula);
        desk.Result(answer, CliJsonContext.Default.LevelsAnswer, sheet => Say(answer, sheet));
        return chain.There.Decibels < 0 || chain.Back.Decibels < 0 ? ExitCode.Incomplete : ExitCode.Done;
    }

    private static void Say(LevelsAnswer answer, Sheet sheet)
    {
        sheet.Table(
            ["", ">send dBFS", ">machine dBu", ">at machine", ">meter dB", ">nWb/m", ">back dBFS"],
            answer.Levels.Select(r =>
                (string[])
                    [
                        r.Name,
                        Words.Number(r.Level.SendDbfs, 1),
                        Words.Signed(r.Level.MachineDbu, 1),
                        LevelWords.Volts(r.Level.MachineVolts),
                        Words.Signed(r.Level.MeterDb, 1),
                        Words.Number(r.Level.NanowebersPerMetre, 0),
                        Words.Number(r.Level.ReturnDbfs, 1),
                    ]
            )
        );
        sheet.Line();
        Room(answer.HeadroomThere, "there", sheet);
        Room(answer.HeadroomBack, "back", sheet);
        sheet.Line().Paragraph(answer.Formula + ". A dBFS here is the peak of a sine.");
    }

    private static void Room(Headroom room, string way, Sheet sheet) =>
        sheet.Paragraph(
            room.Decibels >= 0
                ? $"Headroom {way}: {Words.Number(room.Decibels, 1)} dB above operating level, up to {room.Limit}."
                : $"No headroom {way}: {room.Limit} is reached {Words.Number(-room.Decibels, 1)} dB below operating level. Change the trim or the attenuator.",
            "",
            room.Decibels >= 0 ? null : sheet.Ink.Bad
        );

    private static Option<string?> Level(string name, string words) => Quantities.Text(name, "LEVEL", words);

    private static double? Dbu(string name, string? text) =>
        text is null
            ? null
            : LevelWords.ParseDbu(text)
                ?? throw Fault.Usage($"{name} wants a level with its unit, not \"{text}\"", "Write 4dBu, -10dBV, 0.5V or 20mV.");

    private static Fault Missing(string name) =>
        Fault.Usage($"levels needs {name}", "It needs what the interface gives at full scale, and where the machine's meter says 0.");
}

/// <summary>One level of the table.</summary>
internal sealed record LevelRow(string Name, LevelPoint Level);

/// <summary>The answer of <c>levels</c>.</summary>
internal sealed record LevelsAnswer(IReadOnlyList<LevelRow> Levels, Headroom HeadroomThere, Headroom HeadroomBack, string Formula);
