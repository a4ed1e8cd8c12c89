using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>A plain recorded tone, read: what any tape and any recorder gives. What cannot be known is null.</summary>
public sealed record ToneReport
{
    /// <summary>What was recorded on the tape, as told or as assumed; null where neither.</summary>
    public double? NominalHz { get; init; }

    /// <summary>The nominal frequency was not told, and is the usual test tone next to what is heard.</summary>
    public bool IsNominalAssumed { get; init; }

    /// <summary>Where the tone begins in the file.</summary>
    public required double StartSeconds { get; init; }

    public required double LengthSeconds { get; init; }

    /// <summary>Of this much, the figures of wow and flutter are read.</summary>
    public required double MeasuredSeconds { get; init; }

    /// <summary>Upper end of the unweighted band.</summary>
    public required double BandHz { get; init; }

    public required double SignalToNoiseDb { get; init; }

    /// <summary>All readings, as those of a foreign tape.</summary>
    public required Findings Findings { get; init; }

    /// <summary>Lines of the spectrum of speed, strongest first; what is hum or another tone is left out.</summary>
    public required IReadOnlyList<SpeedLine> Lines { get; init; }

    /// <summary>Which turning parts may be behind the lines, most likely first; empty where the tape speed is not known.</summary>
    public required IReadOnlyList<PartCandidate> Parts { get; init; }

    /// <summary>A reading's value; null where there is none.</summary>
    public double? Value(string quantity) => Find(quantity)?.Value;

    public Reading? Find(string quantity) => Findings.Readings.FirstOrDefault(r => r.Quantity == quantity && r.Condition.Length == 0);
}

/// <summary>Reads a plain tone from a recording.</summary>
public static class ToneJob
{
    /// <summary>No more than this of a file is looked through: ten times what a figure needs, and memory does not grow with the file.</summary>
    public const double LongestSeconds = 300;

    private const int MostLines = 10;

    private const int MostParts = 4;

    /// <param name="reader">The recording.</param>
    /// <param name="nominalHz">What was recorded; null where it is not known.</param>
    /// <param name="facts">The machine that played it, as far as it is known.</param>
    /// <param name="cancellation">Ends the work between its stages.</param>
    /// <exception cref="Fault">No tone of five seconds or more is in it, or the rate is too low.</exception>
    public static ToneReport Read(IAudioReader reader, double? nominalHz, MachineFacts facts, CancellationToken cancellation)
    {
        var rate = reader.Format.SampleRateHz;
        if (rate < 8000)
            throw Fault.Incomplete($"\"{Name(reader)}\" has {rate} frames a second; a tone is read from 8000 Hz up");
        var frames = (int)Math.Min(reader.FrameCount, (long)(LongestSeconds * rate));
        var channels = new float[reader.Format.ChannelCount][];
        for (var i = 0; i < channels.Length; i++)
            channels[i] = new float[frames];
        var got = reader.ReadChannels(0, frames, channels);
        cancellation.ThrowIfCancellationRequested();
        var measured = ToneMeter.Measure([.. channels.Select(c => (ReadOnlyMemory<float>)c.AsMemory(0, got))], rate);
        cancellation.ThrowIfCancellationRequested();
        if (measured is not { } m)
            throw Fault.Incomplete(
                $"No tone of {ToneMeter.LeastSeconds:0} s or more stands out in \"{Name(reader)}\"",
                "Record a steady tone of 300 Hz to 10 kHz with nothing else, best 3150 Hz for 40 s."
            );
        var assumed = nominalHz is null ? UsualTones.Near(m.MeanHz) : null;
        var findings = SpeedReader.Findings(m, HowTaken.ForeignTape, nominalHz ?? assumed, facts);
        List<Notice> notices = [.. findings.Notices];
        if (reader.FrameCount > frames)
            notices.Add(new("long-capture", $"Only the first {LongestSeconds / 60:0} minutes of \"{Name(reader)}\" are looked through."));
        return new ToneReport
        {
            NominalHz = nominalHz ?? assumed,
            IsNominalAssumed = assumed is not null,
            StartSeconds = m.StartSeconds,
            LengthSeconds = m.Curve.LengthSeconds,
            MeasuredSeconds = m.Raw.MeasuredSeconds,
            BandHz = m.Curve.BandHz,
            SignalToNoiseDb = m.Curve.SignalToNoiseDb,
            Findings = findings with { Notices = notices },
            Parts = [.. SpeedReader.Candidates(m, HowTaken.ForeignTape, facts).Where(p => p.Likelihood >= 0.02).Take(MostParts)],
            Lines = [.. m.Lines.Where(l => !l.IsSound).Select(l => l.Line).Take(MostLines)],
        };
    }

    private static string Name(IAudioReader reader) => Path.GetFileName(reader.Path);
}
