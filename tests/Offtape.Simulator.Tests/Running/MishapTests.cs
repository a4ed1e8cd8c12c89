using Offtape.Testing;

namespace Offtape.Simulator.Tests;

/// <summary>Every mishap and special run is what it says, heard in the returned audio.</summary>
public sealed class MishapTests
{
    private const int Rate = Listening.Rate;

    private static readonly MachineModel Deck = MachinePresets.TypicalDeck with
    {
        Noise = new NoiseModel(),
        Sound = new SoundModel(),
        Tracks = new TrackModel(),
    };

    /// <summary>Pulses located by the centroid of their energy; tolerance 2 µs scaled by the change of speed.</summary>
    [Theory]
    [InlineData(1, false, 0, 48_000)]
    [InlineData(0.5, false, 0, 48_000)]
    [InlineData(2, false, 0, 48_000)]
    [InlineData(0.4, false, 0, 48_000)]
    [InlineData(2.5, false, 0, 48_000)]
    [InlineData(1, true, 0, 48_000)]
    [InlineData(1.02, true, 96_000, 96_000)]
    [InlineData(1, false, 44_100, 44_100)]
    [InlineData(1, false, 88_200, 88_200)]
    public void Other_speeds_directions_and_rates_keep_their_truth(double speed, bool reversed, int captureRate, int rate)
    {
        var options = new RunOptions
        {
            ReplaySpeedRatio = speed,
            IsReversed = reversed,
            CaptureSampleRateHz = captureRate,
        };
        var back = new SimulatedMachine(Deck, 6).Run([Pulses(8)], Rate, options);
        Assert.Equal(rate, back.SampleRateHz);
        Assert.Equal(reversed, back.TruthPerChannel[0].IsReversed);
        Measured.Within(speed, back.SpeedRatio, 0.006 * speed, "speed ratio");
        for (var i = 1; i < 8; i++)
        {
            var told = back.TruthPerChannel[0].CaptureAt(i);
            Measured.Within(told, Centroid(back.Channels[0], told, 0.004 / speed, rate), 2e-6 / speed, $"pulse {i}");
        }
    }

    /// <summary>A file of 44 100 frames a second labelled 48 000: the label, the number of frames, and the truth in labelled time (speed ratio 1.0884).</summary>
    [Fact]
    public void A_mixed_up_sample_rate_is_told_in_the_time_of_the_label()
    {
        var options = new RunOptions { CaptureSampleRateHz = 44_100, LabelledSampleRateHz = 48_000 };
        var back = new SimulatedMachine(Deck, 6).Run([Pulses(8)], Rate, options);
        Assert.Equal(48_000, back.SampleRateHz);
        Measured.Within(48_000 / 44_100.0, back.SpeedRatio, 0.006, "speed ratio");
        for (var i = 1; i < 8; i++)
        {
            var told = back.TruthPerChannel[0].CaptureAt(i);
            Measured.Within(told, Centroid(back.Channels[0], told, 0.0037, 48_000), 2e-6, $"pulse {i}");
        }
    }

    [Fact]
    public void A_fast_clock_shows_more_time()
    {
        var back = new SimulatedMachine(Deck with { Transport = new TransportModel() }, 6).Run(
            [Pulses(8)],
            Rate,
            new RunOptions { ClockErrorPpm = 100 }
        );
        Measured.Within(1.0001, back.TruthPerChannel[0].MeanRate, 1e-9, "rate");
        var told = back.TruthPerChannel[0].CaptureAt(7);
        Measured.Within(told, Centroid(back.Channels[0], told, 0.004, Rate), 1e-7, "last pulse");
    }

    [Fact]
    public void A_late_capture_lacks_the_beginning_and_an_early_stop_the_end()
    {
        var options = new RunOptions
        {
            LeadSeconds = -2.5,
            LeadScatterSeconds = 0,
            TailSeconds = -1.5,
        };
        var back = new SimulatedMachine(Deck, 6).Run([Pulses(8)], Rate, options);
        Measured.Within(4, back.Channels[0].Length / (double)Rate, 0.05, "length in seconds");
        Measured.Within(-2.5, back.TruthPerChannel[0].CaptureAt(0), 0.02, "where the beginning would be");
        var told = back.TruthPerChannel[0].CaptureAt(4);
        Measured.Within(told, Centroid(back.Channels[0], told, 0.004, Rate), 2e-6, "a pulse in the middle");
    }

    /// <summary>Bit for bit the send, a whole number of frames late, with nothing added.</summary>
    [Fact]
    public void A_monitor_left_on_source_returns_the_send_itself()
    {
        var send = Pulses(4);
        var options = new RunOptions { IsMonitorOnSource = true };
        var back = new SimulatedMachine(MachinePresets.WornDeck, 2).Run([send, send], Rate, options);
        var late = (int)Math.Round(back.TruthPerChannel[1].CaptureAt(0) * Rate);
        Measured.Within(late, back.TruthPerChannel[1].CaptureAt(0) * Rate, 1e-6, "delay in frames");
        Measured.AtLeast(3.0044 * Rate - 1, late, "delay in frames");
        for (var i = 0; i < back.Channels[1].Length; i++)
            Assert.Equal(i >= late && i < late + send.Length ? send[i - late] : 0, back.Channels[1][i]);
        Assert.Equal(1, back.SpeedRatio);
    }

    /// <summary>Under a silent tape sound (recorded at −∞) only the leak remains: the send itself at the stated level and place.</summary>
    [Fact]
    public void A_dry_leak_stands_under_the_tape_at_its_level_and_ahead_by_the_heads()
    {
        var model = Deck.OffTape();
        var send = Pulses(4);
        var with = new SimulatedMachine(model, 2).Run([send], Rate, new RunOptions { DryLeakDb = -30 });
        var without = new SimulatedMachine(model, 2).Run([send], Rate);
        Assert.Null(without.DryLeakAtSeconds);
        var leakFrame = (int)Math.Round(with.DryLeakAtSeconds!.Value * Rate);
        var expected = Math.Pow(10, -30 / 20.0);
        for (var i = 0; i < with.Channels[0].Length; i++)
        {
            var dry = i >= leakFrame && i < leakFrame + send.Length ? send[i - leakFrame] : 0;
            Measured.Within(expected * dry, with.Channels[0][i] - without.Channels[0][i], 1e-6, $"frame {i}");
        }
        Measured.Within(with.HeadDelaySeconds, with.TruthPerChannel[0].CaptureAt(0) - with.DryLeakAtSeconds.Value, 3e-4, "ahead by");
        Assert.Throws<ArgumentException>(() => new SimulatedMachine(Deck, 2).Run([send], Rate, new RunOptions { DryLeakDb = -30 }));
    }

    [Fact]
    public void Leader_and_the_end_of_the_tape_cut_the_sound_where_the_return_says()
    {
        var options = new RunOptions { LeaderSeconds = 2.3, TapeEndsSeconds = 6.2 };
        var back = new SimulatedMachine(Deck with { Noise = new NoiseModel { SignalToNoiseDb = 50 } }, 5).Run(
            [Listening.Sine(1000, -12, 8)],
            Rate,
            options
        );
        Assert.Equal(2.3, back.HeardFromSendSeconds);
        Assert.Equal(6.2, back.HeardToSendSeconds);
        double LevelAt(double sendSeconds) =>
            20
            * Math.Log10(
                Listening.Rms(
                    back.Channels[0].AsSpan((int)((back.TruthPerChannel[0].CaptureAt(sendSeconds) - 0.02) * Rate), (int)(0.04 * Rate))
                )
            );
        foreach (var heard in new[] { 2.36, 4, 6.15 })
            Measured.Within(-15, LevelAt(heard), 0.3, $"level at {heard}");
        // Electronics 20 dB under the hiss of 50 dB: nothing above −80 dBFS.
        foreach (var lost in new[] { 0.5, 2.25, 6.26, 7.5 })
            Measured.AtMost(-80, LevelAt(lost), $"level at {lost}");
    }

    [Fact]
    public void A_stop_in_replay_leaves_a_hole_of_its_length_and_the_truth_knows_it()
    {
        var send = Pulses(10);
        var options = new RunOptions { LeadScatterSeconds = 0, ReplayStops = [new TapeStop(7.5, 2)] };
        var back = new SimulatedMachine(Deck, 5).Run([send], Rate, options);
        var truth = back.TruthPerChannel[0];
        foreach (var pulse in new[] { 1, 2, 3, 4, 6, 7, 8, 9 })
        {
            var told = truth.CaptureAt(pulse);
            Measured.Within(told, Centroid(back.Channels[0], told, 0.004, Rate), 2e-6, $"pulse {pulse}");
        }
        // Half of the ramps' time is lost besides the hold: 2 + (0.15 + 0.3)/2.
        Measured.Within(2.225, truth.CaptureAt(9) - truth.CaptureAt(1) - 8, 0.05, "hole in seconds");
        Measured.AtMost(1e-6, back.Channels[0].AsSpan((int)(8 * Rate), Rate).ToArray().Max(Math.Abs), "sound while the tape stands");
    }

    [Fact]
    public void A_stop_in_recording_loses_what_was_sent_meanwhile()
    {
        var options = new RunOptions { LeadScatterSeconds = 0, RecordStops = [new TapeStop(4.4, 2)] };
        var back = new SimulatedMachine(Deck, 5).Run([Pulses(10)], Rate, options);
        var truth = back.TruthPerChannel[0];
        foreach (var pulse in new[] { 1, 2, 3, 4, 8, 9 })
        {
            var told = truth.CaptureAt(pulse);
            Measured.Within(told, Centroid(back.Channels[0], told, 0.004, Rate), 2e-6, $"pulse {pulse}");
        }
        Measured.Within(-2.225, truth.CaptureAt(9) - truth.CaptureAt(1) - 8, 0.05, "time lost in seconds");
    }

    /// <summary>Pitch during a ride: a tone's frequency, by counting its phase over a held stretch, is the ride's ratio times the tone.</summary>
    [Fact]
    public void A_ride_changes_the_pitch_by_its_curve()
    {
        var options = new RunOptions
        {
            LeadScatterSeconds = 0,
            ReplayRide = [new RidePoint(5, 1), new RidePoint(6, 1.06), new RidePoint(8, 1.06), new RidePoint(9, 0.97)],
        };
        var model = Deck with { Transport = new TransportModel() };
        var back = new SimulatedMachine(model, 5).Run([Listening.Sine(1000, -12, 12)], Rate, options);
        foreach (var (at, ratio) in new[] { (4.0, 1.0), (6.5, 1.06), (7.5, 1.06), (9.6, 0.97) })
        {
            var time = Listening.ToneTime(back.Channels[0].AsSpan((int)(at * Rate), Rate / 4), 1000, 24)[20..^20];
            var measured = (time[^1] - time[0]) / (time.Length - 1) * Rate / 24;
            Measured.Within(ratio, measured, 2e-5, $"pitch at {at} s");
            Measured.Within(
                1 / ratio,
                back.TruthPerChannel[0].RateAt(back.TruthPerChannel[0].SourceAt(at + 0.1)),
                1e-6,
                "rate of the truth"
            );
        }
    }

    /// <summary>Under level control a tone 30 dB down and a tone 10 dB over come out within 18 dB of gain of the target.</summary>
    [Fact]
    public void Level_control_holds_loud_and_lifts_quiet()
    {
        var model = Deck with
        {
            RecordLevelControl = new LevelControlModel(TargetDb: 0, LargestGainDb: 18, AttackSeconds: 0.01, ReleaseSeconds: 0.5),
        };
        double Level(double sendDbfs)
        {
            var back = new SimulatedMachine(model, 5).Run([Listening.Sine(1000, sendDbfs, 4)], Rate);
            var middle = (int)(back.TruthPerChannel[0].CaptureAt(3) * Rate);
            return 20 * Math.Log10(Listening.Rms(back.Channels[0].AsSpan(middle, Rate / 2)) * Math.Sqrt(2)) + 12;
        }
        // The detector's peak sags between crests by less than a decibel with these times.
        Measured.Within(0, Level(-2), 1, "10 dB over, in dB against operating level");
        Measured.Within(0, Level(-22), 1, "10 dB under");
        Measured.Within(-12, Level(-42), 0.1, "30 dB under: lifted by 18");
    }

    [Fact]
    public void Level_control_of_the_recorder_works_on_the_capture()
    {
        var options = new RunOptions { CaptureLevelControl = new LevelControlModel(TargetDb: 0, LargestGainDb: 20) };
        var back = new SimulatedMachine(Deck, 5).Run([Listening.Sine(1000, -27, 6)], Rate, options);
        var middle = (int)(back.TruthPerChannel[0].CaptureAt(4) * Rate);
        var level = 20 * Math.Log10(Listening.Rms(back.Channels[0].AsSpan(middle, Rate / 2)) * Math.Sqrt(2));
        Measured.Within(-12, level, 1, "level in dBFS");
    }

    [Fact]
    public void Inverted_swapped_offset_and_picked_channels_are_what_they_say()
    {
        var (left, right) = (Listening.Sine(700, -12, 3), Listening.Sine(1900, -18, 3));
        var plain = new SimulatedMachine(Deck, 5).Run([left, right], Rate);
        var inverted = new SimulatedMachine(Deck, 5).Run([left, right], Rate, new RunOptions { IsPolarityInverted = true });
        var swapped = new SimulatedMachine(Deck, 5).Run([left, right], Rate, new RunOptions { AreChannelsSwapped = true });
        var picked = new SimulatedMachine(Deck, 5).Run([left, right], Rate, new RunOptions { CaptureTracks = [1] });
        var offset = new SimulatedMachine(Deck, 5).Run([left, right], Rate, new RunOptions { DcOffset = 0.01 });
        Assert.Equal([0, 1], plain.TrackOfChannel);
        Assert.Equal([1, 0], swapped.TrackOfChannel);
        Assert.Equal([1], picked.TrackOfChannel);
        Assert.Equal(plain.Channels[0].Select(s => -s), inverted.Channels[0]);
        Assert.Equal(plain.Channels[0], swapped.Channels[1]);
        Assert.Equal(plain.Channels[1], picked.Channels[0]);
        Measured.Within(0.01, offset.Channels[0].Average() - plain.Channels[0].Average(), 1e-6, "offset");
    }

    [Fact]
    public void Clicks_and_clipping_are_counted_where_they_are()
    {
        var quiet = new SimulatedMachine(Deck, 5).Run([new float[60 * Rate]], Rate, new RunOptions { ClicksPerMinute = 20 });
        Assert.InRange(quiet.Clicks.Count, 8, 36);
        foreach (var click in quiet.Clicks)
            Measured.Within(click.Height, quiet.Channels[0][(int)Math.Round(click.CaptureSeconds * Rate)], 0.02, "height of a click");
        Assert.Equal(0, quiet.ClippedSampleCount);
        var loud = new SimulatedMachine(Deck, 5).Run([Listening.Sine(500, 0, 1)], Rate, new RunOptions { CaptureGainDb = 6 });
        // A sine 6.02 dB over is beyond full scale for 1 − (2/π)·arcsin(1/1.995) of the time: 66.6 %.
        Measured.Within(
            1 - 2 / Math.PI * Math.Asin(Math.Pow(10, -6 / 20.0)),
            loud.ClippedSampleCount / (double)Rate,
            0.01,
            "share of clipped samples"
        );
        Assert.Equal(1f, loud.Channels[0].Max(Math.Abs));
        var open = new SimulatedMachine(Deck, 5).Run(
            [Listening.Sine(500, 0, 1)],
            Rate,
            new RunOptions { CaptureGainDb = 6, ClipsAtFullScale = false }
        );
        Measured.AtLeast(1.9, open.Channels[0].Max(Math.Abs), "peak of a float recorder");
    }

    [Fact]
    public void What_cannot_be_is_refused()
    {
        var off = new SimulatedMachine(Deck.OffTape(), 1);
        var send = new[] { new float[8000] };
        Assert.Throws<ArgumentException>(() => off.Run(send, 8000, new RunOptions { IsReversed = true }));
        Assert.Throws<ArgumentException>(() => off.Run(send, 8000, new RunOptions { ReplaySpeedRatio = 2 }));
        Assert.Throws<ArgumentException>(() => off.Run(send, 8000, new RunOptions { CaptureTracks = [1] }));
        Assert.Throws<ArgumentException>(() => off.Run([], 8000));
        Assert.Throws<ArgumentException>(() => off.Run([new float[10], new float[11]], 8000));
        Assert.Throws<ArgumentOutOfRangeException>(() => off.Run(send, 100));
    }

    // Gaussian pulses on every whole second, 0.4 ms wide.
    private static float[] Pulses(int seconds)
    {
        var send = new float[seconds * Rate];
        for (var pulse = 1; pulse < seconds; pulse++)
        {
            for (var i = -480; i <= 480; i++)
                send[pulse * Rate + i] = (float)(0.2 * Math.Exp(-0.5 * Math.Pow(i / (0.0004 * Rate), 2)));
        }
        return send;
    }

    private static double Centroid(float[] samples, double nearSeconds, double halfWidthSeconds, int rate)
    {
        var (weight, sum) = (0.0, 0.0);
        for (var i = (int)Math.Ceiling((nearSeconds - halfWidthSeconds) * rate); i <= (nearSeconds + halfWidthSeconds) * rate; i++)
        {
            var power = (double)samples[i] * samples[i];
            weight += power;
            sum += power * i;
        }
        return sum / weight / rate;
    }
}
