using Offtape.Base;

namespace Offtape.Passes.Tests;

/// <summary>What cannot be done is refused in one clear line with its exit code, and leaves nothing behind.</summary>
public sealed class BadInputTests : IDisposable
{
    private readonly SendBench _bench = new();

    public void Dispose() => _bench.Dispose();

    private Fault Refused(SendRequest request, ExitCode exitCode, params string[] words)
    {
        var fault = Assert.Throws<Fault>(() => _bench.Run(request));
        Assert.Equal(exitCode, fault.ExitCode);
        Assert.DoesNotContain('\n', fault.Message);
        foreach (var word in words)
            Assert.Contains(word, fault.Message);
        Assert.False(Directory.Exists(_bench.Target) && Directory.EnumerateFileSystemEntries(_bench.Target).Any());
        return fault;
    }

    private SendRequest Good => _bench.Request(_bench.Source("a.wav", 0.5));

    [Fact]
    public void No_sources() => Refused(_bench.Request(), ExitCode.Usage, "no source");

    [Fact]
    public void No_folder_to_write_to() => Refused(Good with { TargetFolder = " " }, ExitCode.Usage, "--to");

    [Fact]
    public void No_such_file() =>
        Refused(_bench.Request(Path.Combine(_bench.Folder, "none.wav")), ExitCode.InputUnreadable, "none.wav", "no such file");

    [Fact]
    public void A_text_file_called_wav()
    {
        var path = Path.Combine(_bench.Folder, "letter.wav");
        File.WriteAllText(path, "Dear engineer, enclosed please find nothing that sounds. Yours.");
        Refused(_bench.Request(path), ExitCode.InputUnreadable, "letter.wav");
    }

    [Fact]
    public void A_sound_of_no_length() =>
        Refused(_bench.Request(_bench.Source("empty.wav", 0)), ExitCode.InputUnreadable, "empty.wav", "length is zero");

    [Fact]
    public void A_folder_without_sounds()
    {
        var folder = Directory.CreateDirectory(Path.Combine(_bench.Folder, "bare")).FullName;
        Refused(_bench.Request(folder), ExitCode.InputUnreadable, "bare", "no audio file");
    }

    [Fact]
    public void A_silent_source_alone()
    {
        var path = PlainWav.Write(
            Path.Combine(_bench.Folder, "mute.wav"),
            48_000,
            1,
            4800,
            (frame, _) => (frame % 3 - 1) * 2.0 / 32_768,
            16
        );
        Refused(_bench.Request(path), ExitCode.InputUnreadable, "mute.wav", "silent");
    }

    [Fact]
    public void A_silent_source_among_others_is_left_out_and_told()
    {
        var mute = PlainWav.Write(Path.Combine(_bench.Folder, "mute.wav"), 48_000, 1, 4800, (_, _) => 0);
        var result = _bench.Run(_bench.Request(_bench.Source("a.wav", 0.5), mute, _bench.Source("b.wav", 0.5)));
        Assert.Equal((true, ExitCode.Incomplete), (result.Written, result.ExitCode));
        Assert.Equal(["a.wav", "b.wav"], result.Sheet.Items.Select(i => i.Source));
        Assert.Contains(result.Notices, n => n.Code == "silent-source" && n.Text.Contains("mute.wav"));
    }

    [Fact]
    public void A_folder_stands_for_its_sounds_by_name()
    {
        var folder = Path.Combine(_bench.Folder, "sounds");
        _bench.Source("sounds/b.wav", 0.2);
        _bench.Source("sounds/A.wav", 0.2);
        File.WriteAllText(Path.Combine(folder, "notes.txt"), "not a sound");
        // Run twice into the same folder: the send of the first run is not a source of the second.
        var request = _bench.Request(folder) with
        {
            TargetFolder = folder,
        };
        _bench.Run(request);
        var result = _bench.Run(request with { Force = true });
        Assert.Equal(["A.wav", "b.wav"], result.Sheet.Items.Select(i => i.Source));
    }

    [Theory]
    [InlineData("send.wav")]
    [InlineData("pass.json")]
    public void A_target_that_exists_stays_as_it_is(string name)
    {
        Directory.CreateDirectory(_bench.Target);
        File.WriteAllText(Path.Combine(_bench.Target, name), "precious");
        var fault = Assert.Throws<Fault>(() => _bench.Run(Good));
        Assert.Equal(ExitCode.OutputUnwritable, fault.ExitCode);
        Assert.Contains(name, fault.Message);
        Assert.Contains("--force", fault.Message);
        Assert.Equal("precious", File.ReadAllText(Path.Combine(_bench.Target, name)));
        Assert.Single(Directory.GetFiles(_bench.Target));
    }

    /// <summary>An hour of reading must not end in a refusal that could have been told at once.</summary>
    [Theory]
    [InlineData("send.wav")]
    [InlineData("pass.json")]
    public void A_target_that_exists_is_told_before_any_source_is_read(string name)
    {
        Directory.CreateDirectory(_bench.Target);
        File.WriteAllText(Path.Combine(_bench.Target, name), "precious");
        var states = new List<JobState>();
        Assert.Throws<Fault>(() => SendJob.Run(Good, JobProgress.To(states.Add), CancellationToken.None));
        Assert.Empty(states);
    }

    [Fact]
    public void With_force_both_are_replaced()
    {
        Directory.CreateDirectory(_bench.Target);
        File.WriteAllText(_bench.SendPath, "old");
        File.WriteAllText(_bench.SheetPath, "old");
        var result = _bench.Run(Good with { Force = true });
        Assert.Equal(result.Sheet.PassId, PassSheet.Load(_bench.Target).PassId);
        Assert.Equal(2, _bench.Send().ChannelCount);
        Assert.Equal(2, Directory.GetFileSystemEntries(_bench.Target).Length);
    }

    [Fact]
    public void A_source_is_never_written_over_not_even_with_force()
    {
        Directory.CreateDirectory(_bench.Target);
        var source = _bench.Source("out/send.wav", 0.5);
        var bytes = File.ReadAllBytes(source);
        var fault = Assert.Throws<Fault>(() => _bench.Run(_bench.Request(source) with { Force = true }));
        Assert.Equal(ExitCode.Usage, fault.ExitCode);
        Assert.Equal(bytes, File.ReadAllBytes(source));
    }

    [Fact]
    public void A_target_folder_that_is_a_file()
    {
        File.WriteAllText(_bench.Target, "a file");
        Assert.Equal(ExitCode.OutputUnwritable, Assert.Throws<Fault>(() => _bench.Run(Good)).ExitCode);
        Assert.Equal("a file", File.ReadAllText(_bench.Target));
        File.Delete(_bench.Target);
    }

    [Theory]
    [InlineData(3_999)]
    [InlineData(400_000)]
    [InlineData(8_000)] // fit for sound, too low for slates
    public void An_impossible_rate(int rate) => Refused(Good with { SampleRateHz = rate }, ExitCode.Usage, "rate");

    [Fact]
    public void Sources_too_low_for_slates() =>
        Refused(_bench.Request(_bench.Source("low.wav", 0.5, sampleRateHz: 8_000)), ExitCode.Usage, "slates", "--slate off");

    [Theory]
    [InlineData(0.1)]
    [InlineData(-61)]
    [InlineData(double.NaN)]
    public void An_impossible_level(double level) => Refused(Good with { LevelDbfs = level }, ExitCode.Usage, "--level");

    [Theory]
    [InlineData(-1)]
    [InlineData(3.2)] // 1 s of quiet, 1.874 s of slate, 0.4 s clear: 3.274 s
    [InlineData(double.PositiveInfinity)]
    public void A_lead_with_no_room_for_the_slate(double lead) =>
        Refused(Good with { LeadSeconds = lead }, ExitCode.Usage, "--lead", "3.28");

    [Theory]
    [InlineData(0)]
    [InlineData(1.6)] // 0.877 s of slate and 0.4 s on either side: 1.677 s
    [InlineData(double.NaN)]
    public void A_gap_with_no_room_for_the_slate(double gap) => Refused(Good with { GapSeconds = gap }, ExitCode.Usage, "--gap", "1.68");

    [Fact]
    public void The_least_lead_and_gap_that_are_told_are_accepted()
    {
        var result = _bench.Run(
            _bench.Request(_bench.Source("a.wav", 0.5), _bench.Source("b.wav", 0.5)) with
            {
                LeadSeconds = 3.28,
                GapSeconds = 1.68,
            }
        );
        Assert.Equal(ExitCode.Done, result.ExitCode);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-1)]
    [InlineData(11)]
    [InlineData(double.NaN)]
    public void An_impossible_printing_ratio(double ratio) => Refused(Good with { PrintRatio = ratio }, ExitCode.Usage, "--print-ratio");

    [Fact]
    public void A_source_too_fast_for_the_send() =>
        Refused(
            _bench.Request(_bench.Source("fast.wav", 0.1, sampleRateHz: 192_000)) with
            {
                SampleRateHz = 16_000,
                PrintRatio = 0.15,
            },
            ExitCode.Usage,
            "fast.wav"
        );

    [Theory]
    [InlineData(0)]
    [InlineData(500)]
    [InlineData(double.NaN)]
    public void An_impossible_speed(double speed) => Refused(Good with { SpeedCmPerSecond = speed }, ExitCode.Usage, "--speed");

    [Theory]
    [InlineData(0)]
    [InlineData(-30)]
    [InlineData(double.NaN)]
    public void An_impossible_side(double side) => Refused(Good with { SideMinutes = side }, ExitCode.Usage, "--side");

    [Theory]
    [InlineData(0)]
    [InlineData(65)]
    public void A_stripe_on_no_track(int track) => Refused(Good with { StripeTrack = track }, ExitCode.Usage, $"{track}", "stripe");

    [Theory]
    [InlineData("1=none.wav", "none.wav")]
    [InlineData("1=kit.wav", "2 channels")]
    [InlineData("1-3=kit.wav", "3 tracks")]
    [InlineData("1=bass.wav,1=bass.wav", "twice")]
    [InlineData("1-2=kit.wav,2=bass.wav", "Track 2")]
    public void Tracks_that_contradict_the_sources(string tracks, string words) =>
        Refused(
            _bench.Request(_bench.Source("kit.wav", 0.2, 2), _bench.Source("bass.wav", 0.2)) with
            {
                Layout = SendLayout.Parallel,
                Tracks = TrackAssignment.ParseList(tracks),
            },
            ExitCode.Usage,
            words
        );

    [Fact]
    public void A_name_that_two_sources_share_is_not_guessed() =>
        Refused(
            _bench.Request(_bench.Source("a/kit.wav", 0.2), _bench.Source("b/kit.wav", 0.2)) with
            {
                Tracks = TrackAssignment.ParseList("1=kit.wav"),
            },
            ExitCode.Usage,
            "2 sources"
        );

    [Theory]
    [InlineData(SendLayout.Serial, 2)] // a stereo source's usual place
    [InlineData(SendLayout.Parallel, 4)] // given by --tracks
    public void A_stripe_on_a_track_that_a_source_has(SendLayout layout, int track) =>
        Refused(
            _bench.Request(_bench.Source("kit.wav", 0.2, 2), _bench.Source("bass.wav", 0.2)) with
            {
                Layout = layout,
                StripeTrack = track,
                Tracks = TrackAssignment.ParseList("4=bass.wav"),
            },
            ExitCode.Usage,
            $"Track {track}",
            "stripe"
        );

    [Fact]
    public void More_tracks_than_a_send_has() =>
        Refused(
            _bench.Request([.. Enumerable.Range(0, 33).Select(i => _bench.Source($"{i}.wav", 0.01, 2))]) with
            {
                Layout = SendLayout.Parallel,
            },
            ExitCode.Usage,
            "66 tracks",
            "64"
        );

    [Fact]
    public void Sixty_four_tracks_are_a_send()
    {
        var sources = Enumerable.Range(0, 64).Select(i => _bench.Source($"{i}.wav", 0.05, seed: i, sampleRateHz: 16_000)).ToArray();
        var result = _bench.Run(_bench.Request(sources) with { Layout = SendLayout.Parallel });
        Assert.Equal(64, _bench.Send().ChannelCount);
        Assert.Equal([64], result.Sheet.Items[63].Tracks);
    }
}
