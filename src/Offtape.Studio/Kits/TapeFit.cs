using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>Which tape a machine takes, and how long it lasts there.</summary>
internal static class TapeFit
{
    /// <summary>The speed a machine is used at: the one wanted, where it has it, else its fastest; 4.76 for a cassette machine that says nothing, 19.05 for a reel.</summary>
    public static double SpeedCmPerSecond(Offer machine, KitRequest request)
    {
        var speeds = machine.Features.SpeedsCmPerSecond;
        if (speeds.Count == 0)
            return machine.Features.Format == "reel"
                ? TapeSpeeds.SevenAndAHalf.Speed.CmPerSecond
                : TapeSpeeds.OneAndSevenEighths.Speed.CmPerSecond;
        var wanted = request
            .Musts.Concat(request.Wishes.OrderByDescending(w => w.Weight).Select(w => w.Want))
            .Select(w => w.SpeedCmPerSecond)
            .OfType<double>();
        foreach (var want in wanted)
            if (speeds.Any(s => Math.Abs(s - want) < 0.01 * s))
                return speeds.First(s => Math.Abs(s - want) < 0.01 * s);
        return speeds.Max();
    }

    /// <summary>A tape of the machine's format and type, sound enough to be used.</summary>
    public static bool Fits(OfferFeatures tape, Offer machine) =>
        !tape.IsSticky
        && !tape.IsMouldy
        && tape.Format == machine.Features.Format
        && (tape.TapeTypes.Count == 0 || machine.Features.TapeTypes.Count == 0 || tape.TapeTypes.Any(machine.Features.TapeTypes.Contains));

    /// <summary>Minutes of recording on one tape: both sides, except where all tracks run one way.</summary>
    public static double Minutes(OfferFeatures tape, Offer machine, double speedCmPerSecond)
    {
        var sides = machine.Kind == OfferKind.CassetteMultitrack || machine.Features.Tracks is > 2 ? 1 : 2;
        return sides * tape.LengthMetres!.Value * 100 / speedCmPerSecond / 60;
    }
}
