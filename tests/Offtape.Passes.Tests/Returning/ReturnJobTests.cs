using System.Text.Json;
using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Passes.Tests.Returning;

/// <summary>
/// The whole job on real phrases: sources, send, a simulated machine, captures, takes. Truth is the simulated machine's own map of each
/// track, and the captured samples themselves.
/// </summary>
public sealed class ReturnJobTests
{
    private static readonly SimulatedMachine Deck = new(MachinePresets.TypicalDeck.Rewound(), 11);

    private static float[] Phrase(RecordingKind kind, ulong seed, double seconds = 3) => Recordings.Phrase(seed, kind, seconds);

    private static PassRig Two(Func<SendRequest, SendRequest>? send = null)
    {
        var rig = new PassRig();
        rig.AddSource("kit", [Phrase(RecordingKind.Drum, 5)], timeReferenceFrames: 4_800_000);
        rig.AddSource("marimba", [Phrase(RecordingKind.Plucked, 6), Phrase(RecordingKind.Plucked, 7)]);
        rig.Send(send);
        return rig;
    }

    [Fact]
    public void Shift_copies_the_captured_samples_and_changes_none()
    {
        using var rig = Two();
        rig.Print(Deck);
        var result = rig.Return(r => r with { Retimings = [Retiming.Shift] });
        Assert.Equal(ExitCode.Done, result.ExitCode);
        using var capture = AudioFile.Open(rig.CapturePath("capture"));
        foreach (var take in result.Sheet.Takes)
        {
            using var written = AudioFile.Open(Path.Combine(rig.TakeFolder, take.Files["shift"]));
            Assert.Equal(capture.Format.Encoding, written.Format.Encoding);
            Assert.Equal(capture.Format.SampleRateHz, written.Format.SampleRateHz);
            var channels = take.CaptureChannels!.Order().ToArray();
            var start = (long)Math.Round(take.CaptureStartSeconds!.Value * capture.Format.SampleRateHz, MidpointRounding.AwayFromZero);
            var (from, to) = (
                new double[written.FrameCount * capture.Format.ChannelCount],
                new double[written.FrameCount * channels.Length]
            );
            capture.ReadExact(start, from);
            written.ReadExact(0, to);
            for (var f = 0; f < written.FrameCount; f++)
            {
                for (var c = 0; c < channels.Length; c++)
                    Assert.Equal(from[f * capture.Format.ChannelCount + channels[c]], to[f * channels.Length + c]);
            }
        }
    }

    [Fact]
    public void Fit_begins_where_the_source_begins_and_keeps_its_form()
    {
        using var rig = Two();
        rig.Print(Deck);
        var result = rig.Return();
        Assert.All(result.Sheet.Takes, t => Assert.True(t.Found && t.Complete));
        foreach (var (take, i) in result.Sheet.Takes.Select((t, i) => (t, i)))
        {
            using var source = AudioFile.Open(rig.Sources[i]);
            using var written = AudioFile.Open(Path.Combine(rig.TakeFolder, take.File!));
            Assert.Equal(source.Format.SampleRateHz, written.Format.SampleRateHz);
            Assert.Equal(source.Format.ChannelCount, written.Format.ChannelCount);
            Assert.Equal(source.FrameCount, written.FrameCount);
            Assert.Equal(SampleEncoding.Float32, written.Format.Encoding);
            Assert.Equal(source.Metadata.TimeReferenceFrames, written.Metadata.TimeReferenceFrames);
            var truth = rig.Truth[rig.CapturePath("capture")].TruthPerChannel[take.CaptureChannels![0]];
            // 1 ms: what is promised of the place on the typical deck.
            Measured.Within(truth.CaptureAt(rig.SendSeconds(i, 0)), take.CaptureStartSeconds!.Value, 1e-3, $"start of {take.Source}, s");
        }
    }

    [Fact]
    public void The_json_has_the_agreed_names()
    {
        using var rig = Two();
        rig.Print(Deck);
        rig.Return();
        using var json = JsonDocument.Parse(File.ReadAllText(Path.Combine(rig.TakeFolder, "return.json")));
        var root = json.RootElement;
        foreach (var name in new[] { "formatVersion", "captures", "retime", "passes", "takes", "unmatchedCaptures" })
            Assert.True(root.TryGetProperty(name, out _), name);
        foreach (
            var name in new[]
            {
                "number",
                "passId",
                "capture",
                "captureStartSeconds",
                "captureEndSeconds",
                "speedRatio",
                "reversed",
                "complete",
            }
        )
            Assert.True(root.GetProperty("passes")[0].TryGetProperty(name, out _), name);
        foreach (
            var name in new[]
            {
                "source",
                "capture",
                "pass",
                "found",
                "confidence",
                "complete",
                "endSourceSeconds",
                "file",
                "files",
                "captureStartSeconds",
                "speedRatio",
                "polarity",
                "channelOrder",
                "gainDb",
                "interchannelDelayMicroseconds",
                "noiseFloorDbfs",
                "timeMap",
                "wobblePeakCents",
                "dropouts",
                "warnings",
            }
        )
            Assert.True(root.GetProperty("takes")[0].TryGetProperty(name, out _), name);
        var map = root.GetProperty("takes")[0].GetProperty("timeMap");
        var seconds = map.GetProperty("sourceSeconds").EnumerateArray().Select(v => v.GetDouble()).ToArray();
        Assert.All(seconds.Zip(seconds.Skip(1)), p => Assert.InRange(p.Second - p.First, 1e-6, 0.0501));
    }

    [Fact]
    public void Swapped_and_inverted_channels_are_put_right_and_told()
    {
        using var rig = Two();
        rig.Print(Deck, new RunOptions { AreChannelsSwapped = true, IsPolarityInverted = true });
        var result = rig.Return();
        var stereo = result.Sheet.Takes.Single(t => t.Source == "marimba.wav");
        Assert.Equal([1, 0], stereo.ChannelOrder);
        Assert.Equal(-1, stereo.Polarity);
        Assert.Contains(stereo.Warnings, w => w.Code == WarningCode.ChannelsSwapped);
        Assert.Contains(stereo.Warnings, w => w.Code == WarningCode.PolarityInverted);
        var (written, _) = PassRig.Read(Path.Combine(rig.TakeFolder, stereo.File!));
        var (source, _) = PassRig.Read(rig.Sources[1]);
        for (var c = 0; c < 2; c++)
            Assert.True(Similarity(source[c], written[c]) > 0.6, $"channel {c}: {Similarity(source[c], written[c])}");
    }

    [Theory]
    [InlineData(2.0, false)]
    [InlineData(0.5, false)]
    [InlineData(1.0, true)]
    public void Another_tape_speed_or_direction_is_undone(double replaySpeed, bool isReversed)
    {
        using var rig = new PassRig();
        rig.AddSource("kit", [Phrase(RecordingKind.Drum, 21)]);
        rig.Send();
        rig.Print(Deck, new RunOptions { ReplaySpeedRatio = replaySpeed, IsReversed = isReversed });
        var take = rig.Return().Sheet.Takes.Single();
        Assert.True(take.Found, take.Sentence);
        Measured.Within(replaySpeed, take.SpeedRatio!.Value, 0.03 * replaySpeed, "speed");
        var map = take.TimeMap!;
        Assert.Equal(isReversed, map.CaptureSeconds[^1] < map.CaptureSeconds[0]);
        Measured.Within(rig.TrueCaptureSeconds(0, 1.5), Interpolate(map, 1.5), 2e-3, "middle of the take, s");
        var (written, _) = PassRig.Read(Path.Combine(rig.TakeFolder, take.File!));
        var (source, _) = PassRig.Read(rig.Sources[0]);
        Assert.True(SimilarityNearby(source[0], written[0]) > 0.5, $"likeness {SimilarityNearby(source[0], written[0])}");
    }

    [Theory]
    [InlineData(0.5, false)]
    [InlineData(1.0, true)]
    public void A_send_at_another_speed_or_backwards_comes_back_as_the_source(double printRatio, bool isReversed)
    {
        using var rig = new PassRig();
        rig.AddSource("kit", [Phrase(RecordingKind.Drum, 22)]);
        rig.Send(s => s with { PrintRatio = printRatio, Reversed = isReversed });
        rig.Print(Deck);
        var take = rig.Return().Sheet.Takes.Single();
        Assert.True(take.Found, take.Sentence);
        Measured.Within(1, take.SpeedRatio!.Value, 0.03, "speed against what was intended");
        var (written, _) = PassRig.Read(Path.Combine(rig.TakeFolder, take.File!));
        var (source, _) = PassRig.Read(rig.Sources[0]);
        Assert.True(SimilarityNearby(source[0], written[0]) > 0.5, $"likeness {SimilarityNearby(source[0], written[0])}");
    }

    [Fact]
    public void Twelve_hand_started_captures_with_meaningless_names_are_matched_and_three_strangers_set_aside()
    {
        using var rig = new PassRig();
        var kinds = Enum.GetValues<RecordingKind>();
        var truths = new Dictionary<string, double>();
        for (var i = 0; i < 12; i++)
        {
            var audio = Phrase(kinds[i % kinds.Length], (ulong)(40 + i), 2);
            rig.AddSource($"sound {i:00}", [audio]);
            var name = $"Audio {(i * 7) % 12 + 1:000}";
            var printed = rig.Print(
                new SimulatedMachine(MachinePresets.TypicalDeck.Rewound(), (ulong)(300 + i)),
                [audio, audio],
                48_000,
                null,
                name
            );
            truths[$"sound {i:00}.wav"] = printed.TruthPerChannel[0].CaptureAt(0);
        }
        for (var i = 0; i < 3; i++)
        {
            var stranger = Recordings.StrangerPhrase((ulong)(90 + i), kinds[i], 3);
            rig.Print(
                new SimulatedMachine(MachinePresets.TypicalDeck.Rewound(), (ulong)(400 + i)),
                [stranger, stranger],
                48_000,
                null,
                $"Audio 10{i}"
            );
        }
        var result = rig.Return(r => r with { Passes = [], Sources = rig.Sources });
        Assert.Equal(12, result.Sheet.Takes.Count);
        Assert.All(result.Sheet.Takes, t => Assert.True(t.Found, t.Sentence));
        Assert.All(result.Sheet.Takes, t => Measured.Within(truths[t.Source], t.CaptureStartSeconds!.Value, 2e-3, t.Source));
        Assert.Equal(3, result.Sheet.UnmatchedCaptures.Count);
        Assert.All(result.Sheet.UnmatchedCaptures, c => Assert.Contains("Audio 10", c));
    }

    [Fact]
    public void A_loop_that_fits_twice_is_not_guessed()
    {
        using var rig = new PassRig();
        var bar = Phrase(RecordingKind.Drum, 61, 2);
        rig.AddSource("loop", [bar]);
        var twice = new float[bar.Length * 2];
        bar.CopyTo(twice, 0);
        bar.CopyTo(twice, bar.Length);
        rig.Print(new SimulatedMachine(MachinePresets.TypicalDeck.Rewound(), 71), [twice, twice], 48_000, null, "capture");
        var result = rig.Return(r => r with { Passes = [], Sources = rig.Sources });
        var take = result.Sheet.Takes.Single();
        Assert.False(take.Found);
        Assert.Contains(take.Warnings, w => w.Code == WarningCode.AmbiguousPlace);
        Assert.Equal(ExitCode.Incomplete, result.ExitCode);
        Assert.False(File.Exists(Path.Combine(rig.TakeFolder, "fit", "loop-tape.wav")));
    }

    [Fact]
    public void Two_passes_in_one_capture_are_told_apart_and_named()
    {
        using var rig = new PassRig();
        rig.AddSource("kit", [Phrase(RecordingKind.Drum, 81, 2)]);
        rig.Send();
        var (send, rate) = PassRig.Read(Path.Combine(rig.PassFolder, "send.wav"));
        var first = Deck.Run(send, rate, new RunOptions { ReplayNumber = 1 });
        var second = Deck.Run(send, rate, new RunOptions { ReplayNumber = 2 });
        PassRig.Write(
            rig.CapturePath("capture"),
            [.. first.Channels.Select((c, i) => c.Concat(second.Channels[i]).ToArray())],
            rate,
            SampleEncoding.Pcm24,
            null
        );
        var result = rig.Return();
        Assert.Equal([1, 2], result.Sheet.Takes.Select(t => t.Pass!.Value));
        Assert.Equal(["fit/kit-tape.wav", "fit/kit-tape.pass2.wav"], result.Sheet.Takes.Select(t => t.File));
        Assert.Equal(2, result.Sheet.Passes.Count);
    }

    [Fact]
    public void One_pass_over_two_captures_is_one_pass()
    {
        using var rig = Two();
        var (send, rate) = PassRig.Read(Path.Combine(rig.PassFolder, "send.wav"));
        var whole = Deck.Run(send, rate, new RunOptions());
        var gap = rig.Sheet!.Items[1].StartSeconds - 0.4;
        var cut = (int)(whole.TruthPerChannel[0].CaptureAt(gap) * rate);
        PassRig.Write(rig.CapturePath("one"), [.. whole.Channels.Select(c => c[..cut])], rate, SampleEncoding.Pcm24, null);
        PassRig.Write(rig.CapturePath("two"), [.. whole.Channels.Select(c => c[cut..])], rate, SampleEncoding.Pcm24, null);
        var result = rig.Return();
        Assert.All(result.Sheet.Takes, t => Assert.True(t.Found && t.Pass == 1, t.Sentence));
        Assert.Equal(2, result.Sheet.Takes.Select(t => t.Capture).Distinct().Count());
    }

    [Fact]
    public void Parallel_tracks_heard_back_in_two_runs_come_together()
    {
        using var rig = new PassRig();
        var kinds = new[] { RecordingKind.Drum, RecordingKind.Plucked, RecordingKind.Sustained, RecordingKind.Bass };
        for (var i = 0; i < 4; i++)
            rig.AddSource($"track {i + 1}", [Phrase(kinds[i], (ulong)(100 + i), 4)]);
        rig.Send(s => s with { Layout = SendLayout.Parallel });
        var machine = new SimulatedMachine(MachinePresets.AtticFourTrack, 17);
        rig.Print(machine, new RunOptions { CaptureTracks = [0, 1], ReplayNumber = 1 }, "run 1");
        rig.Print(machine, new RunOptions { CaptureTracks = [2, 3], ReplayNumber = 2 }, "run 2");
        var result = rig.Return();
        Assert.Equal(4, result.Sheet.Takes.Count);
        Assert.All(result.Sheet.Takes, t => Assert.True(t.Found && t.Pass == 1, t.Sentence));
        Assert.Equal([0, 1, 0, 1], result.Sheet.Takes.Select(t => t.CaptureChannels![0]));
    }

    [Fact]
    public void A_capture_that_ends_early_tells_what_is_missing()
    {
        using var rig = Two();
        rig.Print(Deck, new RunOptions { TailSeconds = rig.Sheet!.Items[1].StartSeconds + 1.5 - rig.Sheet.LengthSeconds });
        var result = rig.Return();
        Assert.Equal(ExitCode.Incomplete, result.ExitCode);
        var cut = result.Sheet.Takes.Single(t => t.Source == "marimba.wav");
        Assert.True(cut.Found && !cut.Complete, cut.Sentence);
        Measured.Within(1.5, cut.EndSourceSeconds!.Value, 0.1, "end, s");
        Assert.Contains(cut.Warnings, w => w.Code == WarningCode.ShortCapture);
    }

    [Fact]
    public void Takes_that_exist_are_not_replaced_without_being_told_to()
    {
        using var rig = Two();
        rig.Print(Deck);
        rig.Return();
        var fault = Assert.Throws<Fault>(() => rig.Return(r => r with { Force = false }));
        Assert.Equal(ExitCode.OutputUnwritable, fault.ExitCode);
        // Another retiming adds its folder, and the sheet keeps both.
        var added = rig.Return(r => r with { Force = false, Retimings = [Retiming.Shift] });
        Assert.All(added.Sheet.Takes, t => Assert.Equal(["fit", "shift"], t.Files.Keys.Order()));
    }

    [Fact]
    public void The_sends_gain_is_undone()
    {
        using var rig = new PassRig();
        rig.AddSource("kit", [Phrase(RecordingKind.Drum, 5)]);
        rig.Send(s => s with { LevelDbfs = -20 });
        // No tape at all: what comes back is the send, sample for sample but for its delay.
        rig.Print(Deck, new RunOptions { IsMonitorOnSource = true });
        var take = rig.Return().Sheet.Takes.Single();
        Measured.Within(rig.Sheet!.Items[0].GainDb, take.GainDb!.Value, 0.05, "gain, dB");
        var (written, _) = PassRig.Read(Path.Combine(rig.TakeFolder, take.File!));
        var (source, _) = PassRig.Read(rig.Sources[0]);
        // 24-bit capture of a signal at −20 dBFS, kernel at −100 dB to 0.9 of Nyquist: likeness to 1e-4.
        Measured.AtLeast(0.9999, Similarity(source[0], written[0]), "likeness");
        Measured.Within(1, written[0].Max(Math.Abs) / source[0].Max(Math.Abs), 0.02, "peak against the source's");
    }

    [Fact]
    public void Cancelling_leaves_no_half_written_take()
    {
        using var rig = Two();
        rig.Print(Deck);
        using var source = new CancellationTokenSource();
        var request = new ReturnRequest
        {
            Captures = [rig.CaptureFolder],
            Passes = [rig.PassFolder],
            TargetFolder = rig.TakeFolder,
            Retimings = [Retiming.Fit],
        };
        var progress = JobProgress.To(s =>
        {
            if (s.Stage == "writing")
                source.Cancel();
        });
        Assert.ThrowsAny<OperationCanceledException>(() => ReturnJob.Run(request, progress, source.Token));
        var left = Directory.Exists(rig.TakeFolder) ? Directory.GetFiles(rig.TakeFolder, "*", SearchOption.AllDirectories) : [];
        foreach (var file in left)
        {
            using var whole = AudioFile.Open(file);
            Assert.Empty(whole.Notices);
        }
    }

    private static double Interpolate(ReturnTimeMap map, double sourceSeconds)
    {
        var i = Math.Clamp(Array.FindIndex(map.SourceSeconds, s => s > sourceSeconds), 1, map.SourceSeconds.Length - 1);
        var f = (sourceSeconds - map.SourceSeconds[i - 1]) / (map.SourceSeconds[i] - map.SourceSeconds[i - 1]);
        return map.CaptureSeconds[i - 1] + f * (map.CaptureSeconds[i] - map.CaptureSeconds[i - 1]);
    }

    /// <summary>The best likeness within half a millisecond: `fit` keeps the deck's own wobble, which moves a beat by that much.</summary>
    private static double SimilarityNearby(float[] a, float[] b) =>
        Enumerable.Range(-24, 49).Max(lag => lag < 0 ? Similarity(a[-lag..], b) : Similarity(a, b[lag..]));

    /// <summary>Normalised correlation at lag zero: 1 = the same but for level. Signed, so that polarity counts.</summary>
    private static double Similarity(float[] a, float[] b)
    {
        double ab = 0,
            aa = 0,
            bb = 0;
        for (var i = 0; i < Math.Min(a.Length, b.Length); i++)
            (ab, aa, bb) = (ab + (double)a[i] * b[i], aa + (double)a[i] * a[i], bb + (double)b[i] * b[i]);
        return ab / Math.Sqrt(aa * bb + 1e-30);
    }
}
