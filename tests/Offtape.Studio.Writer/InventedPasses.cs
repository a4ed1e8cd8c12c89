using Dapper;
using Microsoft.Data.Sqlite;
using Offtape.Base;
using Offtape.Passes;

namespace Offtape.Studio.Writer;

/// <summary>
/// Passes of an invented studio, from a seed: machines, tapes, speeds, sounds with names of our own scenario. How many sounds a pass has
/// stands in its name, so that a pass that is half there can be told.
/// </summary>
public sealed class InventedPasses(int seed)
{
    private static readonly string[] Machines = ["corner deck", "kitchen deck", "attic reel", "lighthouse reel", "four-track"];
    private static readonly string[] Sounds =
    [
        "bowed glass",
        "marimba figure",
        "brushed kit",
        "low pulse",
        "harbour bell",
        "rope organ",
        "tin rain",
    ];
    private static readonly double[] Speeds = [4.76, 9.525, 19.05, 38.1];
    private static readonly DateTime FirstDay = new(2010, 1, 1, 0, 0, 0, DateTimeKind.Utc);

    private readonly Random _random = new(seed);
    private PassSheet? _last;
    private int _count;

    /// <summary>Puts a send into the log, in a transaction of its own.</summary>
    /// <returns>Name of the pass.</returns>
    public string Send(StudioStore store)
    {
        var notices = new List<Notice>();
        store.Write(c => Send(c, store, notices));
        return _last!.PassId;
    }

    /// <summary>Puts the return of the last send into the log, in a transaction of its own.</summary>
    public void Return(StudioStore store) => store.Write(c => Return(c, store));

    /// <summary>Many passes with their returns, in one transaction.</summary>
    public void Fill(StudioStore store, int count) =>
        store.Write(c =>
        {
            for (var i = 0; i < count; i++)
            {
                Send(c, store, []);
                Return(c, store);
            }
        });

    /// <summary>What is half there; empty where every pass and every return is whole.</summary>
    public static IReadOnlyList<string> Halves(StudioStore store) =>
        store.Read<IReadOnlyList<string>>(c =>
            [
                .. c.Query<string>(
                    """
                    SELECT s.passId || ' has ' || (SELECT count(*) FROM sendItems i WHERE i.sendId = s.id) || ' sounds' FROM sends s
                    WHERE (SELECT count(*) FROM sendItems i WHERE i.sendId = s.id) <> CAST(substr(s.passId, -1) AS INTEGER)
                    """
                ),
                .. c.Query<string>(
                    """
                    SELECT s.passId || ' has no run or no stretch' FROM sends s LEFT JOIN passes p ON p.sendId = s.id
                    LEFT JOIN stretches x ON x.passId = p.id WHERE x.id IS NULL
                    """
                ),
                .. c.Query<string>(
                    """
                    SELECT 'return ' || r.id || ' lacks a run, a take or a file' FROM returns r
                    JOIN files f ON f.id = r.sheetFileId
                    WHERE (SELECT count(*) FROM returnPasses p WHERE p.returnId = r.id) <> 1
                        OR (SELECT count(*) FROM takes t JOIN takeFiles x ON x.takeId = t.id WHERE t.returnId = r.id)
                            <> CAST(substr(f.path, -13, 1) AS INTEGER)
                    """
                ),
            ]
        );

    /// <summary>Names of the passes that are there; with their return or without.</summary>
    public static (IReadOnlySet<string> Sends, IReadOnlySet<string> Returns) Present(StudioStore store) =>
        store.Read(c =>
            (
                (IReadOnlySet<string>)c.Query<string>("SELECT passId FROM sends").ToHashSet(),
                (IReadOnlySet<string>)
                    c.Query<string>("SELECT s.passId FROM returnPasses r JOIN passes p ON p.id = r.passId JOIN sends s ON s.id = p.sendId")
                        .ToHashSet()
            )
        );

    private void Send(SqliteConnection connection, StudioStore store, List<Notice> notices)
    {
        _last = Sheet();
        var folder = Path.Combine(store.Folder, "passes", _last.PassId);
        SendRecord
            .From(
                _last,
                new FileFacts(Path.Combine(folder, "pass.json"), Digest(), 4_000, FileKind.PassSheet),
                new FileFacts(Path.Combine(folder, "send.wav"), Digest(), 40_000_000, FileKind.Send)
            )
            .Put(connection, store.Paths, notices);
    }

    private void Return(SqliteConnection connection, StudioStore store)
    {
        var sheet = _last!;
        var folder = Path.Combine(store.Folder, "takes", sheet.PassId);
        const string capture = "capture.wav";
        var back = new ReturnSheet
        {
            Captures =
            [
                new ReturnCapture
                {
                    File = capture,
                    SampleRateHz = 48_000,
                    ChannelCount = 2,
                    LengthSeconds = sheet.LengthSeconds + 10,
                },
            ],
            Retime = "steady",
            Passes =
            [
                new ReturnPass
                {
                    Number = 1,
                    PassId = sheet.PassId,
                    Capture = capture,
                    CaptureStartSeconds = 3,
                    CaptureEndSeconds = sheet.LengthSeconds + 3,
                    SpeedRatio = 1 + (_random.NextDouble() - 0.5) / 100,
                    Complete = true,
                },
            ],
            Takes =
            [
                .. sheet.Items.Select(i => new ReturnTake
                {
                    Source = i.Source,
                    Capture = capture,
                    Pass = 1,
                    Found = true,
                    Complete = true,
                    Confidence = 0.99,
                    CaptureStartSeconds = i.StartSeconds + 3,
                    File = $"steady/{i.Source}",
                    Files = new Dictionary<string, string> { ["steady"] = $"steady/{i.Source}" },
                }),
            ],
            UnmatchedCaptures = [],
            MadeAt = sheet.MadeAt,
        };
        ReturnRecord
            .From(
                back,
                new FileFacts(Path.Combine(folder, "return.json"), Digest(), 90_000, FileKind.ReturnSheet),
                new Dictionary<string, FileFacts>
                {
                    [capture] = new(Path.Combine(store.Folder, "captures", sheet.PassId, capture), Digest(), 50_000_000, FileKind.Capture),
                },
                sheet.Items.ToDictionary(
                    i => $"steady/{i.Source}",
                    i => new FileFacts(Path.Combine(folder, "steady", i.Source), Digest(), 9_000_000, FileKind.Take)
                )
            )
            .Put(connection, store.Paths, []);
    }

    private PassSheet Sheet()
    {
        var itemCount = _random.Next(1, 7);
        var length = 8.0;
        var items = new List<SheetItem>();
        for (var i = 0; i < itemCount; i++)
        {
            var seconds = 2 + 20 * _random.NextDouble();
            items.Add(
                new SheetItem
                {
                    Source = $"{Sounds[_random.Next(Sounds.Length)]} {_random.Next(20_000):00000} {i}.wav",
                    Sha256 = Digest(),
                    StartSeconds = length,
                    LengthSeconds = seconds,
                    GainDb = -6,
                    Tracks = [1, 2],
                    SampleRateHz = 48_000,
                    ChannelCount = 2,
                }
            );
            length += seconds + 2;
        }
        var number = _count++;
        return new PassSheet
        {
            FormatVersion = PassSheet.CurrentFormatVersion,
            PassId = $"{seed:x}-{number:00000000}-{itemCount}",
            SampleRateHz = 48_000,
            ChannelCount = 2,
            PrintRatio = 1,
            Reversed = false,
            SpeedCmPerSecond = Speeds[_random.Next(Speeds.Length)],
            LengthSeconds = length,
            LevelDbfs = -6,
            Items = items,
            Slates = [],
            MadeAt = Words.Moment(FirstDay.AddMinutes(80L * number)),
            Run = new SheetRun
            {
                Machine = Machines[_random.Next(Machines.Length)],
                Tape = $"LQ {_random.Next(400):000}",
                Side = _random.Next(2) == 0 ? "A" : "B",
                StartSeconds = Math.Round(1500 * _random.NextDouble(), 1),
                InputLevel = "6",
                NoiseReduction = "off",
                TapeType = "I",
            },
        };
    }

    private string Digest()
    {
        var bytes = new byte[32];
        _random.NextBytes(bytes);
        return Convert.ToHexStringLower(bytes);
    }
}
