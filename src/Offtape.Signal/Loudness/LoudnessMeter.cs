using Offtape.Base;

namespace Offtape.Signal;

/// <summary>
/// Programme loudness by ITU-R BS.1770-5 (K weighting, channel weights, two gates), read as EBU R 128 and EBU Tech 3341 ask: momentary
/// (400 ms), short-term (3 s), integrated; loudness range by EBU Tech 3342; sample peak and true peak (BS.1770-5, Annex 2). Streaming:
/// memory does not grow with the programme, and the readings do not depend on how it is cut into blocks.
/// </summary>
/// <remarks>
/// Momentary and short-term move on in steps of 10 ms, so that their maxima are found wherever a sound begins; the gating blocks of the
/// integrated loudness stand every 100 ms (75 % overlap), and so do the short-term values of the loudness range. Input is finite; 1.0 is
/// full scale. Silence, and what is shorter than the window asked for, reads −∞.
/// </remarks>
public sealed class LoudnessMeter
{
    public const int MostChannels = 64;

    // In steps of 10 ms.
    private const int MomentarySteps = 40;
    private const int ShortTermSteps = 300;
    private const int GatingHopSteps = 10;
    private const int StepsPerSecond = 100;

    /// <summary>BS.1770-5, Annex 1: below the mean over the absolute gate.</summary>
    private const double RelativeGateLu = -10;

    /// <summary>EBU Tech 3342: the same for the loudness range.</summary>
    private const double RangeRelativeGateLu = -20;

    private readonly double[] _weights;
    private readonly KWeightedEnergy _filters;
    private readonly TruePeakMeter[] _peaks;
    private readonly LoudnessHistogram _gatingBlocks = new();
    private readonly LoudnessHistogram _shortTermValues = new();

    // The weighted sums of squares of the last 3 s, step by step, round and round.
    private readonly double[] _stepEnergies = new double[ShortTermSteps];

    private long _frameCount;
    private long _stepCount;
    private long _stepEndFrame;
    private double _momentaryEnergy;
    private double _shortTermEnergy;
    private double _momentaryMaxEnergy;
    private double _shortTermMaxEnergy;

    /// <param name="channelCount">1 to 64.</param>
    /// <param name="sampleRateHz">8 000 to 384 000.</param>
    public LoudnessMeter(int channelCount, int sampleRateHz)
        : this(sampleRateHz, ChannelWeights.ForCount(Checked(channelCount))) { }

    /// <param name="sampleRateHz">8 000 to 384 000.</param>
    /// <param name="channelWeights">One weight for each channel (BS.1770-5, Table 3), where the count of channels does not tell.</param>
    public LoudnessMeter(int sampleRateHz, ReadOnlySpan<double> channelWeights)
    {
        Checked(channelWeights.Length);
        SampleRateHz = new SampleRate(sampleRateHz).Hertz;
        _weights = channelWeights.ToArray();
        _filters = new KWeightedEnergy(ChannelCount, sampleRateHz);
        _peaks = new TruePeakMeter[ChannelCount];
        for (var channel = 0; channel < ChannelCount; channel++)
            _peaks[channel] = new TruePeakMeter(sampleRateHz);
        _stepEndFrame = EndOfStep(0);
    }

    public int SampleRateHz { get; }

    public int ChannelCount => _weights.Length;

    /// <summary>Frames taken in so far.</summary>
    public long FrameCount => _frameCount;

    /// <summary>Loudness of the last 400 ms; −∞ before there are so many.</summary>
    public double MomentaryLufs => EnergyToLufs(_momentaryEnergy);

    public double MomentaryMaxLufs => EnergyToLufs(_momentaryMaxEnergy);

    /// <summary>Loudness of the last 3 s; −∞ before there are so many.</summary>
    public double ShortTermLufs => EnergyToLufs(_shortTermEnergy);

    public double ShortTermMaxLufs => EnergyToLufs(_shortTermMaxEnergy);

    /// <summary>Gated loudness of everything so far.</summary>
    public double IntegratedLufs
    {
        get
        {
            var (mean, _) = _gatingBlocks.MeanAbove(LoudnessHistogram.AbsoluteGateLufs);
            return mean > 0
                ? EnergyToLufs(_gatingBlocks.MeanAbove(EnergyToLufs(mean) + RelativeGateLu).MeanEnergy)
                : double.NegativeInfinity;
        }
    }

    /// <summary>EBU Tech 3342: from the 10th to the 95th percentile of the gated short-term loudness. 0 when there is none.</summary>
    public double LoudnessRangeLu
    {
        get
        {
            var (mean, _) = _shortTermValues.MeanAbove(LoudnessHistogram.AbsoluteGateLufs);
            if (mean <= 0)
                return 0;
            var gate = EnergyToLufs(mean) + RangeRelativeGateLu;
            var (_, count) = _shortTermValues.MeanAbove(gate);
            return _shortTermValues.ValueOfRank(gate, PercentileRank(count, 0.95))
                - _shortTermValues.ValueOfRank(gate, PercentileRank(count, 0.10));
        }
    }

    /// <summary>The largest sample of any channel.</summary>
    public double SamplePeakDbfs => Conversions.AmplitudeToDb(LargestPeak(p => p.SamplePeakLinear));

    /// <summary>The largest true peak of any channel.</summary>
    public double TruePeakDbtp => Conversions.AmplitudeToDb(LargestPeak(p => p.TruePeakLinear));

    /// <summary>The true peak of one channel, 0-based.</summary>
    public double ChannelTruePeakDbtp(int channelIndex) => Conversions.AmplitudeToDb(_peaks[channelIndex].TruePeakLinear);

    /// <summary>Takes in whole frames of any number.</summary>
    public void Add(ReadOnlySpan<float> interleaved)
    {
        if (interleaved.Length % ChannelCount != 0)
            throw new ArgumentException($"Frames of {ChannelCount} channels must come whole.", nameof(interleaved));
        while (!interleaved.IsEmpty)
        {
            var frames = (int)Math.Min(interleaved.Length / ChannelCount, _stepEndFrame - _frameCount);
            var piece = interleaved[..(frames * ChannelCount)];
            _filters.Add(piece);
            for (var channel = 0; channel < _peaks.Length; channel++)
                _peaks[channel].Add(piece, ChannelCount, channel);
            _frameCount += frames;
            if (_frameCount == _stepEndFrame)
                EndStep();
            interleaved = interleaved[piece.Length..];
        }
    }

    /// <summary>As newly made.</summary>
    public void Reset()
    {
        _filters.Reset();
        foreach (var peak in _peaks)
            peak.Reset();
        _gatingBlocks.Reset();
        _shortTermValues.Reset();
        Array.Clear(_stepEnergies);
        _frameCount = _stepCount = 0;
        _momentaryEnergy = _shortTermEnergy = _momentaryMaxEnergy = _shortTermMaxEnergy = 0;
        _stepEndFrame = EndOfStep(0);
    }

    /// <summary>BS.1770-5, Annex 1, equation 2: −0.691 + 10·log10 of the weighted mean square.</summary>
    internal static double EnergyToLufs(double energy) => energy > 0 ? -0.691 + 10 * Math.Log10(energy) : double.NegativeInfinity;

    private void EndStep()
    {
        double energy = 0;
        for (var channel = 0; channel < _weights.Length; channel++)
            energy += _weights[channel] * _filters.TakeSumOfSquares(channel);
        _filters.Settle();
        _stepEnergies[(int)(_stepCount % ShortTermSteps)] = energy;
        _stepCount++;
        _stepEndFrame = EndOfStep(_stepCount);
        if (_stepCount >= MomentarySteps)
        {
            _momentaryEnergy = MeanOfLast(MomentarySteps);
            _momentaryMaxEnergy = Math.Max(_momentaryMaxEnergy, _momentaryEnergy);
            if (_stepCount % GatingHopSteps == 0)
                _gatingBlocks.Add(_momentaryEnergy);
        }
        if (_stepCount >= ShortTermSteps)
        {
            _shortTermEnergy = MeanOfLast(ShortTermSteps);
            _shortTermMaxEnergy = Math.Max(_shortTermMaxEnergy, _shortTermEnergy);
            if (_stepCount % GatingHopSteps == 0)
                _shortTermValues.Add(_shortTermEnergy);
        }
    }

    // Added up afresh each time: a running sum would keep the rounding of everything that has passed.
    private double MeanOfLast(int steps)
    {
        double sum = 0;
        for (var step = _stepCount - steps; step < _stepCount; step++)
            sum += _stepEnergies[(int)(step % ShortTermSteps)];
        return sum / (EndOfStep(_stepCount - 1) - EndOfStep(_stepCount - steps - 1));
    }

    // Steps of 10 ms need not be whole frames (11 025 Hz): each ends at the frame before its true end.
    private long EndOfStep(long step) => (step + 1) * SampleRateHz / StepsPerSecond;

    // The listing in EBU Tech 3342: round((n − 1)·p + 1), counted from 1.
    private static long PercentileRank(long count, double share) => (long)Math.Round((count - 1) * share, MidpointRounding.AwayFromZero);

    private double LargestPeak(Func<TruePeakMeter, double> peak) => _peaks.Max(peak);

    private static int Checked(int channelCount) =>
        channelCount is >= 1 and <= MostChannels
            ? channelCount
            : throw new ArgumentOutOfRangeException(nameof(channelCount), channelCount, $"A meter takes 1 to {MostChannels} channels.");
}
