using System.Text;
using System.Text.RegularExpressions;
using Offtape.Cli.Tests.Running;
using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Cli.Tests;

/// <summary>
/// The README does not lie: its commands are run as they stand there, one after another in one folder, and what they say is compared with
/// what stands there. Numbers may differ (a pass has a new identity each time), words and layout may not.
/// </summary>
public sealed partial class ReadmeTests
{
    private static readonly string Root = RepositoryRoot.Find();

    [Fact]
    public void Its_commands_say_what_stands_there()
    {
        using var folder = new TemporaryFolder();
        var readme = File.ReadAllText(Path.Combine(Root, "README.md"));
        var actual = new StringBuilder();
        var end = 0;
        foreach (Match block in ConsoleBlock().Matches(readme))
        {
            actual.Append(readme, end, block.Index - end).Append("```console\n");
            var commands = block.Groups["lines"].Value.Split('\n').Where(l => l.StartsWith("$ ", StringComparison.Ordinal));
            foreach (var line in commands)
            {
                Prepare(folder, line);
                var ran = Tool.RunIn(folder.Path, line[2..].Split(' ')[1..]);
                Assert.Equal((line, 0), (line, ran.ExitCode));
                actual.Append(line).Append('\n').Append(ran.Output.TrimEnd()).Append("\n\n");
            }
            actual.Length--;
            actual.Append("```\n");
            end = block.Index + block.Length;
        }
        actual.Append(readme, end, readme.Length - end);
        if (Shape(actual.ToString()) == Shape(readme))
            return;
        var path = Path.Combine(Root, "artifacts", "README.actual.md");
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        File.WriteAllText(path, actual.ToString());
        Assert.Fail($"README.md does not say what the commands say. What they say stands in {path}.");
    }

    [Fact]
    public void The_two_commands_to_try_are_those_that_exist()
    {
        var readme = File.ReadAllText(Path.Combine(Root, "README.md"));
        Assert.Contains(
            "\ndotnet run -c Release --project src/Offtape.Cli -- demo\nbash tools/test.sh\n",
            readme,
            StringComparison.Ordinal
        );
        Assert.True(File.Exists(Path.Combine(Root, "src/Offtape.Cli/Offtape.Cli.csproj")));
        Assert.True(File.Exists(Path.Combine(Root, "tools/test.sh")));
    }

    [Fact]
    public void Every_file_it_links_to_is_there()
    {
        foreach (var document in Directory.GetFiles(Root, "*.md").Concat(Directory.GetFiles(Path.Combine(Root, "docs"), "*.md")))
        {
            var missing = Link()
                .Matches(File.ReadAllText(document))
                .Select(m => m.Groups[1].Value)
                .Where(l => !l.Contains("://", StringComparison.Ordinal))
                .Where(l => !File.Exists(Path.Combine(Path.GetDirectoryName(document)!, l)));
            Assert.True(!missing.Any(), $"{Path.GetFileName(document)} links to {string.Join(", ", missing)}");
        }
    }

    // What the reader does between the commands: has sounds, runs the machine, records by hand.
    private static void Prepare(TemporaryFolder folder, string line)
    {
        if (line.Contains("offtape send sounds", StringComparison.Ordinal))
        {
            Deck.Write(folder["sounds/bass.wav"], [Recordings.Phrase(3, RecordingKind.Bass, 8)], Recordings.SampleRateHz);
            Deck.Write(folder["sounds/guitar.wav"], [Recordings.Phrase(2, RecordingKind.Plucked, 8)], Recordings.SampleRateHz);
            Deck.Write(folder["sounds/kit.wav"], [Recordings.Phrase(1, RecordingKind.Drum, 6)], Recordings.SampleRateHz);
        }
        if (line.Contains("return capture.wav", StringComparison.Ordinal))
            Deck.Print(folder["pass1/send.wav"], folder["capture.wav"], MachinePresets.TypicalDeck, 8);
        if (line.Contains("return recordings", StringComparison.Ordinal))
        {
            var names = new[] { "kit.wav", "bass.wav", "guitar.wav" };
            for (var i = 0; i < names.Length; i++)
                Deck.Print(
                    folder["sounds/" + names[i]],
                    folder[$"recordings/Audio {i + 7}.wav"],
                    MachinePresets.TypicalDeck,
                    (ulong)(20 + i)
                );
        }
    }

    // Words and layout without the numbers: a column may be wider by a digit, a pass has another identity, a line may break elsewhere.
    private static string Shape(string text) =>
        Spaces().Replace(Numbers().Replace(PassId().Replace(Rules().Replace(text, "-"), "#"), "#"), " ").Trim();

    [GeneratedRegex("```console\n(?<lines>.*?)```\n", RegexOptions.Singleline)]
    private static partial Regex ConsoleBlock();

    [GeneratedRegex(@"\]\(([^)#]+)\)")]
    private static partial Regex Link();

    [GeneratedRegex("─+")]
    private static partial Regex Rules();

    [GeneratedRegex(@"\b[0-9a-z]{4}-[0-9a-z]{4}\b")]
    private static partial Regex PassId();

    [GeneratedRegex(@"[−+]?\d[\d.:]*\d|[−+]?\d")]
    private static partial Regex Numbers();

    [GeneratedRegex(@"\s+")]
    private static partial Regex Spaces();
}
