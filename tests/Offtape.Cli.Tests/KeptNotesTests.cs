using System.Text.Json;
using Offtape.Cli.Tests.Running;
using Offtape.Simulator;
using Offtape.Studio;
using Offtape.Testing;

namespace Offtape.Cli.Tests;

/// <summary>
/// A studio with everything that can be typed, whose database is lost and made again from the folder. The judge is the export from before: every line of
/// every table, with the lines it points to in place of their numbers.
/// </summary>
public sealed class KeptNotesTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Everything_that_was_typed_comes_back_from_the_folder()
    {
        var passId = Fill(isPrinted: true);
        Assert.Equal(0, Run("log export --to before").ExitCode);
        foreach (var file in _folder.Files.Where(f => f.StartsWith("studio.db", StringComparison.Ordinal)))
            File.Delete(_folder[file]);
        var ran = Run("log rebuild --studio . --json");
        Assert.Equal((0, 3), (ran.ExitCode, ran.Json.GetProperty("sends").GetInt32()));
        Assert.Equal(0, Run("log export --to after").ExitCode);
        Same("before", "after");
        // Again, nothing is new, and nothing is there twice.
        Assert.Equal(0, Run("log rebuild --studio . --json").Json.GetProperty("sends").GetInt32());
        Run("log export --to again");
        Same("before", "again");
        var shown = Run($"log show {passId} --json").Json;
        Assert.Equal("warm, keep", shown.GetProperty("note").GetString());
        Assert.All(["speedCmPerSecond", "inputLevel"], name => Assert.Equal(JsonValueKind.Null, shown.GetProperty(name).ValueKind));
        Assert.Equal(0, Run("log verify").ExitCode);
    }

    [Fact]
    public void What_is_emptied_and_said_at_once_or_is_no_fact_is_wrong_usage_and_changes_nothing()
    {
        Run("machine add deck --studio .");
        Deck.Write(_folder["kit.wav"], [Testing.Recordings.Phrase(11, RecordingKind.Drum, 2)], 48_000);
        var pass = PassOf("send kit.wav --to pass1 --machine deck --tape LQ-1");
        foreach (var wrong in new[] { "--machine other --empty machine", "--tape LQ-2 --empty tape", "--empty mood", "--empty" })
        {
            var ran = Run($"log set {pass} {wrong}");
            Assert.Single(ran.ErrorLines);
            Assert.Equal(2, ran.ExitCode);
        }
        Assert.Equal("deck", Run($"log show {pass} --json").Json.GetProperty("machine").GetString());
        // The tape with its side: its place is free, and the pass stands nowhere.
        Assert.Equal(0, Run($"log set {pass} --empty tape").ExitCode);
        var shown = Run($"log show {pass} --json").Json;
        Assert.All(["tape", "side"], name => Assert.Equal(JsonValueKind.Null, shown.GetProperty(name).ValueKind));
        var side = Run("tape show LQ-1 --json").Json.GetProperty("sides")[0];
        Assert.Equal(0, side.GetProperty("recorded").GetArrayLength() + side.GetProperty("unplacedCount").GetInt32());
    }

    [Fact]
    public void A_database_begun_anew_has_what_was_typed_before_anything_is_added_to_it()
    {
        Fill();
        var before = Run("machine hours deck --json").Json.GetProperty("typed").GetDouble();
        File.Delete(_folder["studio.db"]);
        // Not rebuilt, but used: the file of the machine must not lose what it had.
        Assert.Equal(0, Run("machine add kitchen-deck --studio .").ExitCode);
        Measured.Within(before + 1, Run("machine hours deck --add 1 --json").Json.GetProperty("typed").GetDouble(), 1e-12, "h");
        Run("log rebuild --anew --studio .");
        Measured.Within(before + 1, Run("machine hours deck --json").Json.GetProperty("typed").GetDouble(), 1e-12, "h");
    }

    [Fact]
    public void A_studio_from_before_there_were_such_files_gets_them_when_it_is_made_anew()
    {
        var passId = Fill();
        Run("log export --to before");
        string[] endings = [".machine.json", ".tape.json", "pass-notes.json"];
        foreach (var file in _folder.Files.Where(f => endings.Any(e => f.EndsWith(e, StringComparison.Ordinal))))
            File.Delete(_folder[file]);
        Assert.Equal(0, Run("log rebuild --anew --studio .").ExitCode);
        Run("log export --to after");
        Same("before", "after");
        Assert.Equal("warm, keep", Run($"log show {passId} --json").Json.GetProperty("note").GetString());
    }

    [Fact]
    public void A_file_that_is_damaged_is_told_and_the_others_are_taken_in()
    {
        Fill();
        _folder.Write("machines/deck.machine.json", "{ \"formatVersion\": 1, \"machine\": "u8.ToArray());
        File.Delete(_folder["studio.db"]);
        var ran = Run("log rebuild --studio . --json");
        Assert.Equal(3, ran.ExitCode);
        Assert.Contains("machines/deck.machine.json", Assert.Single(ran.Json.GetProperty("troubles").EnumerateArray()).GetString());
        Assert.Equal(0, Run("tape show LQ-4").ExitCode);
    }

    [Fact]
    public void Where_the_file_cannot_be_written_nothing_is_noted()
    {
        Run("machine add deck --studio .");
        File.Delete(_folder["machines/deck.machine.json"]);
        Directory.Delete(_folder["machines"]);
        _folder.Write("machines", [1]);
        var ran = Run("machine hours deck --add 2");
        Assert.Equal(5, ran.ExitCode);
        Assert.Single(ran.ErrorLines);
        Assert.Equal(0, Run("machine hours deck --json").Json.GetProperty("typed").GetDouble());
    }

    [Fact]
    public void Names_of_files_are_those_of_every_system_and_never_the_same_for_two_machines()
    {
        string[] names = ["deck", "Attic/Reel", "attic:reel", "con", "Kassettengerät", new string('x', 200), "..", " deck 2 "];
        var paths = names.Select(n => KeptNames.Machine("/studio", n)).ToArray();
        Assert.Equal(names.Length, paths.Distinct(StringComparer.OrdinalIgnoreCase).Count());
        Assert.All(
            paths.Select(p => Path.GetFileName(p)),
            n => Assert.True(n.Length < 120 && n.All(c => char.IsAsciiLetterOrDigit(c) || c is '-' or '_' or ' ' or '.') && n[0] != '.', n)
        );
        Assert.Equal(KeptNames.Machine("/studio", "DECK"), KeptNames.Machine("/studio", "deck"));
    }

    /// <returns>A pass of which something was noted afterwards.</returns>
    private string Fill(bool isPrinted = false)
    {
        Deck.Write(_folder["sounds/kit.wav"], [Testing.Recordings.Phrase(11, RecordingKind.Drum, 3)], 48_000);
        Deck.Write(_folder["sounds/marimba.wav"], [Testing.Recordings.Phrase(12, RecordingKind.Plucked, 3)], 48_000);
        Run(
            "machine add deck --kind cassette-deck --monitoring off-tape --speeds 4.76,9.525 --hours 40 --format cassette-four --studio .",
            "--note",
            "a bit noisy"
        );
        Run("machine line-up deck --send-zero -12 --return-zero -14.5 --trim 2.5 --speed 9.525 --date 2026-01-02");
        Run("machine line-up deck --send-zero -11 --date 2026-01-03", "--note", "after cleaning");
        // Twice the same on one day are two evenings.
        Run("machine hours deck --add 2.5 --date 2026-01-04");
        Run("machine hours deck --add 2.5 --date 2026-01-04");
        Run("machine hours deck --add -0.25", "--note", "counted too much");
        Run("tape add LQ-4 --length C60 --format cassette-four-track --type I");
        Run("tape add LQ-5 --length C90 --format cassette-stereo --thickness 12", "--note", "spare");
        Run("tape use LQ-4 --to 60 --times 3 --tracks 1,2 --speed 9.525", "--what", "old mix");
        Run("tape use LQ-5 --side B --from 10 --to 70", "--what", "talk");
        Run("tape mark LQ-4 --machine deck --counter 54 --after 120");
        Run("tape mark LQ-5 --side B --machine other-deck --counter 402 --after 1500");
        var first = PassOf("send sounds/kit.wav --to pass1 --machine deck --tape LQ-4 --start 300 --speed 9.525 --tracks 3=kit.wav");
        var second = PassOf("send sounds --to pass2 --machine deck --tape LQ-4 --start 500 --speed 9.525");
        PassOf("send sounds --to pass3 --speed 4.76");
        if (isPrinted)
        {
            Deck.Print(_folder["pass2/send.wav"], _folder["captures/two.wav"], MachinePresets.TypicalDeck, 5);
            Assert.Equal(0, Run("return captures/two.wav --pass pass2 --to takes --retime fit").ExitCode);
        }
        Run("machine upkeep deck --did demagnetise", "--note", "all heads");
        Run($"log set {first} --tape-tracks 4 --start-counter 12 --pitch 1.5 --input-level 6", "--note", "warm, keep");
        Run($"log set {second} --machine third-deck --tape LQ-9 --tape-side B --start 20 --tape-type IV");
        Run($"log set {second} --noise-reduction off --speed 19.05");
        // Emptied: what was typed, and what the sheet says.
        Run($"log set {first} --empty input-level speed");
        Run($"log set {second} --empty machine");
        Assert.Equal(0, Run($"log close {first} --to handed-over").ExitCode);
        return first;
    }

    private string PassOf(string line)
    {
        var ran = Run(line + " --json");
        Assert.Equal(0, ran.ExitCode);
        return ran.Json.GetProperty("passId").GetString()!;
    }

    private Ran Run(string line, params string[] more) => Tool.RunIn(_folder.Path, [.. line.Split(' '), .. more]);

    private void Same(string before, string after)
    {
        var (one, other) = (Lines(before), Lines(after));
        Assert.Equal(one.Keys, other.Keys);
        foreach (var (table, lines) in one)
            Assert.True(
                lines.SequenceEqual(other[table]),
                $"{table}\nbefore:\n{string.Join('\n', lines.Except(other[table]))}\nafter:\n{string.Join('\n', other[table].Except(lines))}"
            );
        foreach (
            var table in new[]
            {
                "machines",
                "lineUps",
                "hours",
                "upkeep",
                "tapes",
                "stretches",
                "counterMarks",
                "passes",
                "jobs",
                "jobPasses",
            }
        )
            Assert.NotEmpty(one[table]);
    }

    /// <summary>Every line as text without its own number, in the order of the alphabet; a number of another line is that line.</summary>
    private SortedDictionary<string, string[]> Lines(string export)
    {
        using var json = JsonDocument.Parse(File.ReadAllText(_folder[$"{export}/studio.json"]));
        var tables = json
            .RootElement.GetProperty("tables")
            .EnumerateObject()
            .ToDictionary(t => t.Name, t => t.Value.EnumerateArray().ToArray());
        string Line(JsonElement row) =>
            string.Join(" | ", row.EnumerateObject().Where(c => c.Name != "id").Select(c => $"{c.Name}={Value(c)}"));
        string Value(JsonProperty cell)
        {
            if (!cell.Name.EndsWith("Id", StringComparison.Ordinal) || cell.Value.ValueKind != JsonValueKind.Number)
                return cell.Value.GetRawText();
            var table = cell.Name switch
            {
                "passId" => "passes",
                "benchId" => "benches",
                "sheetFileId" or "sendFileId" => "files",
                _ => cell.Name[..^2] + "s",
            };
            return $"({Line(tables[table].Single(r => r.GetProperty("id").GetInt64() == cell.Value.GetInt64()))})";
        }
        return new SortedDictionary<string, string[]>(
            tables.ToDictionary(t => t.Key, t => t.Value.Select(Line).Order(StringComparer.Ordinal).ToArray()),
            StringComparer.Ordinal
        );
    }
}
