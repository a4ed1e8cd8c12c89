using System.Diagnostics;
using System.Globalization;
using Offtape.Passes;
using Offtape.Perf.Passes;
using Offtape.Testing;

namespace Offtape.Passes.Tests.Mapping;

/// <summary>
/// Real recordings through a tape path that shares no line with the simulator (tools/reference/outside_tape.py, NumPy and SciPy), and back. What
/// the simulator and the map might both take for granted is not granted here. Limits are those that are promised of the simulated decks.
/// </summary>
public sealed class OutsideTapeTests
{
    [Theory]
    [InlineData("typical", "off-tape", 10e-6, 40e-6, 3e-6)]
    [InlineData("worn", "minimum-phase", 30e-6, 150e-6, 8e-6)]
    public void Every_source_is_mapped_as_promised_and_as_surely_as_stated(
        string deck,
        string option,
        double worstRms,
        double worstAt99,
        double medianRms
    )
    {
        using var rig = new PassRig();
        var kinds = Enum.GetValues<RecordingKind>();
        var phrases = kinds.Select((kind, i) => Recordings.Phrase((ulong)(9100 + i), kind, 5)).ToArray();
        for (var i = 0; i < kinds.Length; i++)
            rig.AddSource(kinds[i].ToString(), [phrases[i]]);
        rig.Send();
        var truth = Play(rig, deck, option);
        var result = rig.Return(r => r with { Retimings = [Retiming.Lock] });
        var errors = new List<(RecordingKind Kind, double Rms, double At99)>();
        double squares = 0,
            points = 0;
        foreach (var take in result.Sheet.Takes)
        {
            Assert.True(take.Found, take.Source);
            var item = Array.FindIndex(kinds, k => take.Source == k + ".wav");
            var mapped = MappedPass.Measure(kinds[item], phrases[item], take, s => truth(rig.SendSeconds(item, s)));
            // With minimum phase one constant is the machine's; what is left of it between takes is below a microsecond.
            var (rms, at99) = mapped.Error(mapped.MeanError);
            errors.Add((kinds[item], rms, at99));
            squares += mapped.Loud.Sum(p => Math.Pow((p.ErrorSeconds - mapped.MeanError) / p.SigmaSeconds, 2));
            points += mapped.Loud.Count();
        }
        var table = string.Join(", ", errors.Select(e => $"{e.Kind} {e.Rms * 1e6:0.0}/{e.At99 * 1e6:0.0} µs"));
        Measured.AtMost(worstRms, errors.Max(e => e.Rms), $"worst rms, s ({table})");
        Measured.AtMost(worstAt99, errors.Max(e => e.At99), $"worst 99th percentile, s ({table})");
        Measured.AtMost(medianRms, errors.Select(e => e.Rms).Order().ElementAt(errors.Count / 2), $"median rms, s ({table})");
        Measured.AtMost(1.35, Math.Sqrt(squares / points), $"rms of error over stated deviation ({table})");
    }

    /// <summary>Where a shift or a fit is all that is asked, the map shows no flutter, and has to say so.</summary>
    [Fact]
    public void A_map_without_flutter_states_what_it_does_not_show()
    {
        using var rig = new PassRig();
        var phrase = Recordings.Phrase(9100, RecordingKind.Drum, 5);
        rig.AddSource("kit", [phrase]);
        rig.Send();
        var truth = Play(rig, "worn", "rewound");
        var take = rig.Return().Sheet.Takes.Single();
        var off = MappedPass
            .Measure(RecordingKind.Drum, phrase, take, s => truth(rig.SendSeconds(0, s)))
            .Loud.Select(p => p.ErrorSeconds / p.SigmaSeconds)
            .ToList();
        // Without that the error was six times what was stated. Of the flutter only the size is known, from what is slower.
        Measured.AtMost(1.6, Math.Sqrt(off.Average(o => o * o)), "rms of error over stated deviation");
    }

    /// <summary>Plays the send through the script's tape.</summary>
    /// <returns>Capture second by send second.</returns>
    private static Func<double, double> Play(PassRig rig, string deck, string option)
    {
        var truthPath = Path.Combine(rig.Folder, "truth.txt");
        var start = new ProcessStartInfo(
            "/usr/bin/python3",
            [
                Path.Combine(RepositoryRoot.Find(), "tools", "reference", "outside_tape.py"),
                Path.Combine(rig.PassFolder, PassSheet.SendFileName),
                rig.CapturePath("capture"),
                truthPath,
                deck,
                "1",
                option,
            ]
        )
        {
            RedirectStandardError = true,
            UseShellExecute = false,
        };
        using var script = Process.Start(start)!;
        var said = script.StandardError.ReadToEnd();
        script.WaitForExit();
        Assert.True(script.ExitCode == 0, said);
        var (capture, send) = (new List<double>(), new List<double>());
        foreach (var line in File.ReadLines(truthPath))
        {
            var split = line.IndexOf(' ', StringComparison.Ordinal);
            capture.Add(double.Parse(line.AsSpan(0, split), CultureInfo.InvariantCulture));
            send.Add(double.Parse(line.AsSpan(split + 1), CultureInfo.InvariantCulture));
        }
        return seconds =>
        {
            // Four points of the truth, a millisecond apart, by Lagrange: exact to nanoseconds for what moves below 100 Hz.
            var k = Math.Clamp(send.BinarySearch(seconds) is var found && found >= 0 ? found : ~found - 1, 1, send.Count - 3);
            var sum = 0.0;
            for (var i = k - 1; i <= k + 2; i++)
            {
                var term = capture[i];
                for (var j = k - 1; j <= k + 2; j++)
                    term *= j == i ? 1 : (seconds - send[j]) / (send[i] - send[j]);
                sum += term;
            }
            return sum;
        };
    }
}
