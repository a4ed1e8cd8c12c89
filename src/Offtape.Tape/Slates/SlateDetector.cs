using Offtape.Signal;

namespace Offtape.Tape;

/// <summary>
/// Finds slates in one channel of a capture at a working rate of 16 kHz or so: at any speed from 0.35 to 2.9 times, either polarity,
/// forwards and backwards. First the whole channel is fed through <see cref="Process"/>; then <see cref="Read"/> pairs the chirps that
/// were heard, times them again with templates of the right speed, and reads the code.
/// </summary>
public sealed class SlateDetector
{
    /// <summary>Slowest and fastest speed looked for.</summary>
    public const double LowestSpeedRatio = 0.35;
    public const double HighestSpeedRatio = 2.9;

    // A noise-like signal reaches 0.25 in half an hour; a chirp at 0.4 or 2.5 times its speed still shares 0.59 with the template.
    private const double FirstThreshold = 0.3;
    private const double NeighbourhoodSeconds = 0.03;
    private const double FinalThreshold = 0.45;

    private static readonly SlateChirp[] Chirps = [SlateChirp.Fall, SlateChirp.Rise, SlateChirp.Rise.Reversed, SlateChirp.Fall.Reversed];

    private readonly double _rateHz;
    private readonly MatchedFilterBank _bank;
    private readonly FilterCascade _highPass;
    private readonly float[] _filtered = new float[8192];
    private readonly ChirpPeaks[] _peaks;

    /// <param name="workingRateHz">Rate of what is fed, 14 to 48 kHz.</param>
    public SlateDetector(double workingRateHz)
    {
        _rateHz = workingRateHz;
        var templates = new MatchedTemplate[Chirps.Length];
        _peaks = new ChirpPeaks[Chirps.Length];
        for (var i = 0; i < Chirps.Length; i++)
        {
            var (inPhase, quadrature) = Chirps[i].Template(1, workingRateHz);
            templates[i] = new MatchedTemplate(inPhase, quadrature);
            _peaks[i] = new ChirpPeaks(FirstThreshold, (int)(NeighbourhoodSeconds * workingRateHz));
        }
        _bank = new MatchedFilterBank(templates);
        // Hum and the thump of a start must not drown the correlation. Only for noticing: times are taken from the unfiltered signal.
        _highPass = new FilterCascade(FilterDesign.ButterworthHighPass(2, 250, workingRateHz));
    }

    /// <summary>Takes the next frames of the channel.</summary>
    public void Process(ReadOnlySpan<float> input)
    {
        while (!input.IsEmpty)
        {
            var count = Math.Min(input.Length, _filtered.Length);
            _highPass.Process(input[..count], _filtered.AsSpan(0, count));
            _bank.Process(_filtered.AsSpan(0, count), Collect);
            input = input[count..];
        }
    }

    /// <summary>Ends the channel and reads what was heard.</summary>
    /// <param name="readFrames">Reads frames of the same channel again, from any frame on; silence outside.</param>
    public IReadOnlyList<DetectedSlate> Read(SlateFrameReader readFrames)
    {
        _bank.Finish(Collect);
        foreach (var peaks in _peaks)
            peaks.Finish();
        var reader = new SlateReader(readFrames, _rateHz);
        var found = new List<DetectedSlate>();
        found.AddRange(reader.ReadPairs(_peaks[0].Frames, _peaks[1].Frames, isReversed: false, FinalThreshold));
        found.AddRange(reader.ReadPairs(_peaks[2].Frames, _peaks[3].Frames, isReversed: true, FinalThreshold));
        found.Sort((a, b) => a.CentreSeconds.CompareTo(b.CentreSeconds));
        return found;
    }

    private void Collect(in MatchedBlock block)
    {
        var peaks = _peaks[block.TemplateIndex];
        for (var i = 0; i < block.Count; i++)
        {
            // Compared as squares: the root is needed for the few that pass only.
            var power = (double)block.Re[i] * block.Re[i] + (double)block.Im[i] * block.Im[i];
            if (power * block.TemplateEnergy > FirstThreshold * FirstThreshold * block.LocalEnergy[i] && block.LocalEnergy[i] > 1e-12f)
                peaks.Add(block.StartFrame + i, block.NormalisedCorrelation(i));
        }
    }
}

/// <summary>Reads frames of a channel at the working rate from any frame on, filling the span; silence outside the channel.</summary>
public delegate void SlateFrameReader(long startFrame, Span<float> frames);
