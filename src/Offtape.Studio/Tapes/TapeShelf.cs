using Dapper;
using Microsoft.Data.Sqlite;
using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>The tapes of a studio: what there is, what stands on them, what is free.</summary>
public sealed class TapeShelf(StudioStore store)
{
    private static string Now => DateTime.UtcNow.ToString("yyyy-MM-ddTHH:mm:ssZ");

    /// <summary>Every tape, by name.</summary>
    public IReadOnlyList<TapeEntry> All() => store.Read(c => Load(c, null));

    /// <exception cref="Fault">Incomplete: there is no such tape.</exception>
    public TapeEntry Find(string name) => store.Read(c => Find(c, name));

    /// <summary>Puts a tape on the shelf, with the sides its format has. A name that only the log has made is filled in.</summary>
    /// <param name="tape">Its sides' stretches are not looked at.</param>
    /// <param name="replace">Change what was told of it before.</param>
    /// <exception cref="Fault">Output: it is there already.</exception>
    public void Add(TapeEntry tape, bool replace) =>
        store.Write(c =>
        {
            var known = c.QueryFirstOrDefault<(long Id, double? Length, string? Format)?>(
                "SELECT id, lengthMetres, trackFormat FROM tapes WHERE name = @Name",
                tape
            );
            if (known is { } old && (old.Length is not null || old.Format is not null) && !replace)
                throw Fault.Output(tape.Name, "there is such a tape already", "Choose another name, or change it with --force.");
            var values = new
            {
                tape.Name,
                format = tape.Medium,
                tape.Type,
                tape.LengthMetres,
                tape.ThicknessMicrometres,
                trackFormat = tape.Format is { } format ? TrackFormatNames.Of(format) : null,
                tape.Note,
                at = Now,
            };
            var id = c.ExecuteScalar<long>(
                """
                INSERT INTO tapes (name, format, tapeType, lengthMetres, thicknessMicrometres, trackFormat, note, addedAt)
                VALUES (@Name, @format, @Type, @LengthMetres, @ThicknessMicrometres, @trackFormat, @Note, @at)
                ON CONFLICT (name) DO UPDATE SET format = coalesce(@format, format), tapeType = coalesce(@Type, tapeType),
                    lengthMetres = coalesce(@LengthMetres, lengthMetres), thicknessMicrometres = coalesce(@ThicknessMicrometres, thicknessMicrometres),
                    trackFormat = coalesce(@trackFormat, trackFormat), note = CASE WHEN @Note = '' THEN note ELSE @Note END
                RETURNING id
                """,
                values
            );
            foreach (var side in tape.Format is { } own ? TrackFormatNames.SidesOf(own) : ["A"])
                SideId(c, id, side);
            StretchBook.ResolveTape(c, id);
            new KeptFiles(c, store.Paths).Tape(tape.Name);
        });

    /// <summary>Notes that a stretch of a side is recorded, without a pass in the log.</summary>
    /// <param name="name">The tape.</param>
    /// <param name="side">Its side.</param>
    /// <param name="fromSeconds">From the beginning of the side, at the speed.</param>
    /// <param name="toSeconds">Its end.</param>
    /// <param name="speed">The speed it was recorded at.</param>
    /// <param name="tracks">Tracks of the tape; empty for all of the side.</param>
    /// <param name="times">How often it has been recorded altogether; null: once more than what it lies on.</param>
    /// <param name="what">What stands there.</param>
    /// <exception cref="Fault">Incomplete: no such tape, side or track, or the stretch does not lie on the side.</exception>
    public void Use(
        string name,
        string side,
        double fromSeconds,
        double toSeconds,
        TapeSpeed speed,
        IReadOnlyList<int> tracks,
        int? times,
        string what
    ) =>
        store.Write(c =>
        {
            var tape = Find(c, name);
            var own =
                tape.Sides.FirstOrDefault(s => s.Name.Equals(side, StringComparison.OrdinalIgnoreCase))
                ?? throw Fault.Incomplete(
                    $"{tape.Name} has no side {side}",
                    $"It has {Words.List([.. tape.Sides.Select(s => s.Name)])}; its format says how many."
                );
            Check(own, toSeconds, speed, tracks);
            var (id, sideId) = c.QuerySingle<(long, long)>(
                """
                INSERT INTO stretches (sideId, at, startSeconds, endSeconds, speedCmPerSecond, tracks, timesTyped, note)
                VALUES ((SELECT s.id FROM sides s JOIN tapes t ON t.id = s.tapeId WHERE t.name = @name AND s.name = @side),
                    @at, @fromSeconds, @toSeconds, @speed, @list, @times, @what)
                RETURNING id, sideId
                """,
                new
                {
                    name,
                    side,
                    at = Now,
                    fromSeconds,
                    toSeconds,
                    speed = speed.CmPerSecond,
                    list = TrackList.ToStored(tracks),
                    times,
                    what,
                }
            );
            StretchBook.Count(c, sideId, id);
            new KeptFiles(c, store.Paths).Tape(name);
        });

    /// <summary>Notes what a machine's counter showed after so much tape of a side.</summary>
    public void Mark(string machine, string tape, string side, CounterMark mark) =>
        store.Write(c =>
        {
            var notices = new List<Notice>();
            var names = new NameBook(c, Now, notices);
            c.Execute(
                "INSERT INTO counterMarks (machineId, sideId, counter, metres, at) VALUES (@machineId, @sideId, @Counter, @Metres, @at)",
                new
                {
                    machineId = names.Machine(machine),
                    sideId = names.Side(tape, side, null),
                    mark.Counter,
                    mark.Metres,
                    at = Now,
                }
            );
            var kept = new KeptFiles(c, store.Paths);
            kept.Machine(machine);
            kept.Tape(tape);
        });

    /// <summary>
    /// The counter of a machine: from the marks of that side, else from all marks of the machine on tapes of the same length, whose reels are
    /// alike; null where there is none.
    /// </summary>
    public CounterCurve? Counter(string machine, TapeEntry tape, string? side = null)
    {
        var marks = store.Read(c =>
            c.Query<(string Tape, string Side, double? Length, double Counter, double Metres)>(
                    """
                    SELECT t.name, s.name, t.lengthMetres, m.counter, m.metres FROM counterMarks m
                    JOIN machines k ON k.id = m.machineId JOIN sides s ON s.id = m.sideId JOIN tapes t ON t.id = s.tapeId
                    WHERE k.name = @machine ORDER BY m.counter
                    """,
                    new { machine }
                )
                .AsList()
        );
        var own = marks
            .Where(m => m.Tape == tape.Name && (side is null || m.Side.Equals(side, StringComparison.OrdinalIgnoreCase)))
            .ToArray();
        var used = own.Length > 0 ? own : [.. marks.Where(m => tape.LengthMetres is not null && m.Length == tape.LengthMetres)];
        return used.Length > 0 ? CounterCurve.Fit([.. used.Select(m => new CounterMark(m.Counter, m.Metres))]) : null;
    }

    private static void Check(TapeSide side, double toSeconds, TapeSpeed speed, IReadOnlyList<int> tracks)
    {
        if (side.PlayingSeconds(speed) * (1 + TapeLength.UsualExcess) < toSeconds)
            throw Fault.Incomplete(
                $"Side {side.Name} plays {Words.Duration(side.PlayingSeconds(speed)!.Value)} at {speed}, and the stretch ends at {Words.Duration(toSeconds)}",
                "Look at the speed."
            );
        if (side.TrackNumbers.Count > 0 && tracks.FirstOrDefault(t => !side.TrackNumbers.Contains(t)) is var wrong and > 0)
            throw Fault.Incomplete(
                $"Side {side.Name} has no track {wrong}",
                $"It has {Words.List([.. side.TrackNumbers.Select(t => $"{t}")])}, as the tape's format numbers them."
            );
    }

    private static TapeEntry Find(SqliteConnection connection, string name) =>
        Load(connection, name) is [var tape]
            ? tape
            : throw Fault.Incomplete($"There is no tape \"{name}\"", "tape list shows what there is; tape add puts one on the shelf.");

    private static long SideId(SqliteConnection connection, long tapeId, string name) =>
        connection.ExecuteScalar<long?>("SELECT id FROM sides WHERE tapeId = @tapeId AND name = @name", new { tapeId, name })
        ?? connection.ExecuteScalar<long>("INSERT INTO sides (tapeId, name) VALUES (@tapeId, @name) RETURNING id", new { tapeId, name });

    private static IReadOnlyList<TapeEntry> Load(SqliteConnection connection, string? name)
    {
        var tapes = connection
            .Query<TapeRow>(
                """
                SELECT id, name, format, tapeType, lengthMetres, thicknessMicrometres, trackFormat, note FROM tapes
                WHERE retiredAt IS NULL AND (@name IS NULL OR name = @name) ORDER BY name
                """,
                new { name }
            )
            .AsList();
        var sides = connection
            .Query<SideRow>(
                "SELECT id, tapeId, name, lengthMetres FROM sides WHERE tapeId IN @ids ORDER BY name",
                new { ids = tapes.Select(t => t.Id) }
            )
            .AsList();
        var stretches = connection
            .Query<StretchRow>(
                """
                SELECT x.sideId, x.at, x.startSeconds, x.endSeconds, x.startCounter, x.speedCmPerSecond, x.tracks, x.reversed, x.times,
                    coalesce(nullif(x.note, ''),
                        (SELECT group_concat(i.name, ', ') FROM sendItems i JOIN passes p ON p.sendId = i.sendId WHERE p.id = x.passId), '') AS what,
                    (SELECT d.passId FROM sends d JOIN passes p ON p.sendId = d.id WHERE p.id = x.passId) AS passId
                FROM stretches x WHERE x.sideId IN @ids ORDER BY x.at, x.id
                """,
                new { ids = sides.Select(s => s.Id) }
            )
            .ToLookup(s => s.SideId);
        return
        [
            .. tapes.Select(t =>
            {
                var format = t.TrackFormat is { } word ? TrackFormatNames.Find(word) : null;
                return new TapeEntry(t.Name)
                {
                    Medium = t.Format,
                    Type = t.TapeType,
                    LengthMetres = t.LengthMetres,
                    ThicknessMicrometres = t.ThicknessMicrometres,
                    Format = format,
                    Note = t.Note,
                    Sides = [.. sides.Where(s => s.TapeId == t.Id).Select(s => Side(s, t, format, stretches[s.Id]))],
                };
            }),
        ];
    }

    private static TapeSide Side(SideRow side, TapeRow tape, TrackFormat? format, IEnumerable<StretchRow> rows)
    {
        var stretches = rows.Select((r, i) => (Row: r, Stretch: r.ToStretch(i))).ToArray();
        return new TapeSide(side.Name, side.LengthMetres ?? tape.LengthMetres)
        {
            TrackNumbers =
            [
                .. format?.Tracks.Where(t => t.Side.Equals(side.Name, StringComparison.OrdinalIgnoreCase)).Select(t => t.Number) ?? [],
            ],
            Stretches = [.. stretches.Where(s => s.Row.IsPlaced).Select(s => s.Stretch)],
            Unplaced = [.. stretches.Where(s => !s.Row.IsPlaced).Select(s => s.Stretch)],
        };
    }

    private sealed class TapeRow
    {
        public long Id { get; set; }
        public string Name { get; set; } = "";
        public string? Format { get; set; }
        public string? TapeType { get; set; }
        public double? LengthMetres { get; set; }
        public double? ThicknessMicrometres { get; set; }
        public string? TrackFormat { get; set; }
        public string Note { get; set; } = "";
    }

    private sealed class SideRow
    {
        public long Id { get; set; }
        public long TapeId { get; set; }
        public string Name { get; set; } = "";
        public double? LengthMetres { get; set; }
    }

    private sealed class StretchRow
    {
        public long SideId { get; set; }
        public string At { get; set; } = "";
        public double? StartSeconds { get; set; }
        public double? EndSeconds { get; set; }
        public double? StartCounter { get; set; }
        public double? SpeedCmPerSecond { get; set; }
        public string? Tracks { get; set; }
        public bool Reversed { get; set; }
        public int Times { get; set; }
        public string What { get; set; } = "";
        public string? PassId { get; set; }

        internal bool IsPlaced => StartSeconds is not null && EndSeconds > StartSeconds && SpeedCmPerSecond is not null;

        internal UsedStretch ToStretch(int order)
        {
            var metres = (SpeedCmPerSecond ?? 0) / 100;
            return new UsedStretch((StartSeconds ?? 0) * metres, (EndSeconds ?? 0) * metres)
            {
                // Several of one second are in the order they were noted in.
                At = $"{At} {order:000000}",
                Times = Times,
                Tracks = TrackList.Parse(Tracks),
                What = What,
                SpeedCmPerSecond = SpeedCmPerSecond,
                IsReversed = Reversed,
                PassId = PassId,
                StartCounter = StartCounter,
            };
        }
    }
}
