using Offtape.Base;
using Offtape.Studio;
using StudioFolder = Offtape.Web.Folders.StudioFolder;

namespace Offtape.Web.Taping;

/// <summary>The studio's shelf of tapes. Each look opens the database and lets go of it: the command may write to it between two looks.</summary>
internal sealed class TapeDesk(StudioFolder studio)
{
    /// <summary>A side with less of it free is nearly full.</summary>
    public const double LeastFreeShare = 0.1;

    /// <summary>Every tape, by name. Looking alone makes no database.</summary>
    /// <exception cref="Fault">The database cannot be read.</exception>
    public IReadOnlyList<TapeEntry> All()
    {
        if (!File.Exists(Path.Combine(studio.Root, StudioStore.FileName)))
            return [];
        using var store = StudioStore.OpenExisting(studio.Root);
        return new TapeShelf(store).All();
    }

    /// <summary>Null where there is no such tape.</summary>
    /// <inheritdoc cref="All"/>
    public TapeEntry? Find(string? name) => All().FirstOrDefault(t => t.Name == name);

    /// <summary>Puts a tape on the shelf, or changes what is known of it.</summary>
    /// <exception cref="Fault">There is one of that name, or it cannot be written.</exception>
    public void Put(TapeEntry tape, bool isChange)
    {
        using var store = StudioStore.Open(studio.Root);
        try
        {
            new TapeShelf(store).Add(tape, isChange);
        }
        catch (Fault fault) when (fault.Advice?.Contains("--force", StringComparison.Ordinal) is true)
        {
            throw Fault.Usage($"There is a tape {tape.Name} already", "Choose another name, or open that tape and change it there.");
        }
    }

    /// <summary>Notes a stretch that was recorded by hand.</summary>
    /// <exception cref="Fault">No such side or track, or it does not lie on the side.</exception>
    public void Use(
        string name,
        string side,
        double fromSeconds,
        double toSeconds,
        TapeSpeed speed,
        IReadOnlyList<int> tracks,
        int? times,
        string what
    )
    {
        if (toSeconds <= fromSeconds)
            throw Fault.Usage("The stretch ends before it begins", "Say where it begins and, behind that, where it ends.");
        using var store = StudioStore.OpenExisting(studio.Root);
        new TapeShelf(store).Use(name, side, fromSeconds, toSeconds, speed, tracks, times, what);
    }

    /// <summary>Seconds of a side that are free at a speed, with the usual margins; null where its length is not known.</summary>
    public static double? FreeSeconds(TapeSide side, TapeSpeed speed) =>
        side.LengthMetres is null ? null : side.Free(speed, new SideMargins()).Sum(f => f.Seconds(speed));

    /// <summary>Sides of which less than a tenth is free, with how much that is.</summary>
    /// <inheritdoc cref="All"/>
    public IReadOnlyList<NearlyFullSide> NearlyFull() =>
        [
            .. All()
                .SelectMany(t =>
                    t.Sides.Select(s => (Side: s, Free: FreeSeconds(s, t.UsualSpeed)))
                        .Where(s => s.Side.Stretches.Count > 0 && s.Free < LeastFreeShare * s.Side.PlayingSeconds(t.UsualSpeed))
                        .Select(s => new NearlyFullSide(t.Name, s.Side.Name, s.Free!.Value))
                ),
        ];
}

/// <summary>A side with less than a tenth of it free.</summary>
internal sealed record NearlyFullSide(string Tape, string Side, double FreeSeconds);
