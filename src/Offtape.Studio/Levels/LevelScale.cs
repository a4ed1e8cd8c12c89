using Offtape.Base;
using Offtape.Report;

namespace Offtape.Studio;

/// <summary>Interface, volts, the machine's meter and the tape as one scale: the levels that matter, and the room above operating level.</summary>
/// <param name="Levels">The loudest first.</param>
/// <param name="There">Room on the way to the tape.</param>
/// <param name="Back">Room on the way back.</param>
public sealed record LevelScale(IReadOnlyList<LevelRow> Levels, Headroom There, Headroom Back)
{
    public const string Formula =
        "volts = √0.6 · 10^(dBu ÷ 20); at the machine = full scale + dBFS − pad; meter = that − its zero; flux = flux at 0 · 10^(meter ÷ 20)";

    /// <summary>What a dBFS is here.</summary>
    public const string OfASine = "A dBFS here is the peak of a sine.";

    private const double ProfessionalDbu = 4;
    private const double ConsumerDbv = -10;

    /// <summary>How far the two usual line levels lie apart, by the definitions of dBu and dBV.</summary>
    public static string LineLevels { get; } = SayLineLevels();

    public bool IsEnough => There.Decibels >= 0 && Back.Decibels >= 0;

    /// <param name="chain">Interface, cable and machine.</param>
    /// <param name="at">One more level to show, in dBFS.</param>
    public static LevelScale Of(LevelChain chain, double? at)
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
        return new LevelScale([.. rows.OrderByDescending(r => r.Level.SendDbfs)], chain.There, chain.Back);
    }

    public ReportTable Table()
    {
        var table = ReportTable
            .Create("")
            .Words("level")
            .Figures("send dBFS")
            .Figures("machine dBu")
            .Figures("at machine")
            .Figures("meter dB")
            .Figures("nWb/m")
            .Figures("back dBFS");
        foreach (var (name, level) in Levels)
            table = table.Row(
                name,
                Words.Number(level.SendDbfs, 1),
                Words.Signed(level.MachineDbu, 1),
                LevelWords.Volts(level.MachineVolts),
                Words.Signed(level.MeterDb, 1),
                Words.Number(level.NanowebersPerMetre, 0),
                Words.Number(level.ReturnDbfs, 1)
            );
        return table;
    }

    /// <summary>Both rooms in words.</summary>
    public IEnumerable<(string Words, bool IsEnough)> Rooms() => [Room(There, "there"), Room(Back, "back")];

    private static (string, bool) Room(Headroom room, string way) =>
        room.Decibels >= 0
            ? ($"Headroom {way}: {Words.Number(room.Decibels, 1)} dB above operating level, up to {room.Limit}.", true)
            : (
                $"No headroom {way}: {room.Limit} is reached {Words.Number(-room.Decibels, 1)} dB below operating level. Change the trim or the attenuator.",
                false
            );

    private static string SayLineLevels()
    {
        var (professional, consumer) = (Conversions.DbuToVolts(ProfessionalDbu), Conversions.DbvToVolts(ConsumerDbv));
        var apart = ProfessionalDbu - Conversions.VoltsToDbu(consumer);
        return $"+4 dBu is {LevelWords.Volts(professional)}, −10 dBV is {LevelWords.Volts(consumer)}: {Words.Number(apart, 2)} dB apart.";
    }
}

/// <summary>One level of the scale.</summary>
public sealed record LevelRow(string Name, LevelPoint Level);
