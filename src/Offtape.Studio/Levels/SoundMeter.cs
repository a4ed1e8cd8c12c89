using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Signal;

namespace Offtape.Studio;

/// <summary>Reads a sound once, in stretches: memory grows by sixteen bytes for each 10 ms of it.</summary>
public static class SoundMeter
{
    private const int LowestBand = -17;
    private const int HighestBand = 13;
    private const double StretchSeconds = 10;
    private const double ShortSeconds = 0.01;

    // Treble is from the lower edge of the third octave at 6.3 kHz, 5.6 kHz, up.
    internal const int TrebleBand = 8;
    private static readonly double TrebleHz = ThirdOctaves.LowerHz(TrebleBand);

    // Below this under the loudest 10 ms nothing is taken for sound: the tail of a room, hiss.
    private const double SoundingDb = 40;
    private const double QuietShare = 0.1;
    private const double TrebleShare = 0.99;

    // Line spacing of about 6 Hz: third octaves from 20 Hz on have a line of their own.
    private const double SegmentSeconds = 0.17;

    // A sine's peak stands over its root mean square by this.
    internal static readonly double SineDb = Conversions.PowerToDb(2);

    /// <exception cref="Fault">The file cannot be read, or is silent.</exception>
    public static SoundProfile Of(string path, JobProgress progress, CancellationToken cancellation)
    {
        using var reader = AudioFile.Open(path);
        var (channels, rateHz) = (reader.Format.ChannelCount, reader.Format.SampleRateHz);
        var meters = Enumerable.Range(0, channels).Select(_ => new ChannelMeter(rateHz)).ToArray();
        // Whole short stretches, so that none falls between two reads.
        var shortFrames = (int)Math.Round(ShortSeconds * rateHz);
        var frames = shortFrames * (int)(StretchSeconds / ShortSeconds);
        var block = Enumerable.Range(0, channels).Select(_ => new float[frames]).ToArray();
        for (long at = 0; at < reader.FrameCount; )
        {
            cancellation.ThrowIfCancellationRequested();
            var got = reader.ReadChannels(at, frames, block);
            if (got == 0)
                break;
            Parallel.For(0, channels, c => meters[c].Add(block[c].AsSpan(0, got), shortFrames));
            at += got;
            progress.Report("measuring", (double)at / reader.FrameCount, $"measuring {Path.GetFileName(path)}");
        }
        var loudest = meters.MaxBy(m => m.LoudestPower)!;
        return loudest.LoudestPower > 0
            ? loudest.Profile(Path.GetFileName(path), (double)reader.FrameCount / rateHz)
            : throw Fault.Input(path, "it is silent", null, "Choose the sound that is to be printed.");
    }

    private sealed class ChannelMeter(int rateHz)
    {
        private readonly SampleSizes _sizes = new();
        private readonly List<(double All, double Treble)> _powers = [];
        private readonly double[] _bandPowers = new double[HighestBand - LowestBand + 1];
        private readonly FilterCascade? _treble =
            2.2 * TrebleHz < rateHz ? new FilterCascade(FilterDesign.ButterworthHighPass(4, TrebleHz, rateHz)) : null;
        private double _peak;
        private long _bandFrames;

        internal double LoudestPower => _powers.Select(p => p.All).DefaultIfEmpty(0).Max();

        internal void Add(ReadOnlySpan<float> samples, int shortFrames)
        {
            _sizes.Add(samples);
            for (var from = 0; from < samples.Length; from += shortFrames)
            {
                var piece = samples.Slice(from, Math.Min(shortFrames, samples.Length - from));
                var (all, treble) = (0.0, 0.0);
                foreach (var sample in piece)
                {
                    all += (double)sample * sample;
                    var high = _treble?.Process(sample) ?? 0;
                    treble += high * high;
                    _peak = Math.Max(_peak, Math.Abs(sample));
                }
                // A rest at the end counts by its length, so that it is no louder for being short.
                _powers.Add((all / shortFrames, treble / shortFrames));
            }
            AddBands(samples);
        }

        private void AddBands(ReadOnlySpan<float> samples)
        {
            var segment = TransformLength.AtLeast((int)(SegmentSeconds * rateHz));
            // The last stretch may be shorter than a segment: with silence behind it, its power is spread, not lost.
            var padded = samples.Length >= segment ? samples : [.. samples, .. new float[segment - samples.Length]];
            var spectra = SegmentSpectra.Of(padded, rateHz, segment);
            for (var b = LowestBand; b <= HighestBand; b++)
            {
                var upper = Math.Min(ThirdOctaves.UpperHz(b), rateHz / 2.0);
                if (ThirdOctaves.LowerHz(b) < upper)
                    _bandPowers[b - LowestBand] += spectra.Power(spectra.Weights(ThirdOctaves.LowerHz(b), upper)).Mean * padded.Length;
            }
            _bandFrames += padded.Length;
        }

        internal SoundProfile Profile(string name, double lengthSeconds)
        {
            var limit = LoudestPower * Conversions.DbToPower(-SoundingDb);
            var sounding = _powers.Where(p => p.All >= limit).ToArray();
            var all = sounding.Select(p => p.All).Order().ToArray();
            var treble = sounding.Select(p => p.Treble).Order().ToArray();
            // The spectrum of the whole file, brought to the level of what sounds in it.
            var bands = _bandPowers.Select(p => p / _bandFrames).ToArray();
            var scale = all.Average() / Math.Max(bands.Sum(), double.Epsilon);
            var logs =
                bands.Select((p, i) => p * Math.Log(ThirdOctaves.MidHz(LowestBand + i))).Sum() / Math.Max(bands.Sum(), double.Epsilon);
            return new SoundProfile
            {
                Name = name,
                LengthSeconds = lengthSeconds,
                PeakDbfs = Conversions.AmplitudeToDb(_peak),
                RmsDbfs = Conversions.PowerToDb(all.Average()),
                LoudestDbfs = Conversions.PowerToDb(all[^1]) + SineDb,
                QuietDbfs = Conversions.PowerToDb(all[(int)(QuietShare * (all.Length - 1))]),
                TrebleDbfs = Conversions.PowerToDb(treble[(int)(TrebleShare * (treble.Length - 1))]) + SineDb,
                MeanHz = Math.Exp(logs),
                ThirdOctavesDbfs = bands
                    .Select((p, i) => (i, p))
                    .ToDictionary(x => LowestBand + x.i, x => Conversions.PowerToDb(x.p * scale)),
                Sizes = _sizes,
            };
        }
    }
}
