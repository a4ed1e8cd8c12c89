using Offtape.Passes.Listening;
using Offtape.Signal;

namespace Offtape.Passes.Finding;

/// <summary>Where a stretch of a source was recognised in a capture.</summary>
/// <param name="CaptureSeconds">When the stretch's first frame is heard (seconds of the tracker: frames ÷ rate).</param>
/// <param name="Speed">Source seconds per capture second.</param>
/// <param name="Strength">Peak of the whitened correlation over its bound, 0 to 1.</param>
/// <param name="Polarity">+1 or −1.</param>
internal readonly record struct Place(double CaptureSeconds, double Speed, double Strength, int Polarity);

/// <summary>
/// Looks for a stretch of a source near a guessed place of a capture, over a range of times and speeds: the stretch is warped to each
/// speed and correlated with partial whitening.
/// </summary>
internal sealed class PlaceSearch
{
    private const double LowHz = 60;
    private const double HighHz = 5000;
    private const double TaperHz = 120;
    private const double SamePlaceSeconds = 0.3e-3;
    private const double SamePlaceSpeed = 0.0025;

    private readonly double _rate;
    private RealTransform _transform = new(4096);
    private float[] _padded = [];
    private float[] _raw = [];
    private float[] _captureRe = [];
    private float[] _captureIm = [];
    private float[] _re = [];
    private float[] _im = [];
    private float[] _correlation = [];

    internal PlaceSearch(double workingRateHz) => _rate = workingRateHz;

    /// <summary>
    /// The best places, strongest first, those of other periods or speeds among them: a pitched sound fits again a period later, a falling
    /// one a little earlier and faster, and only following it decides. Empty where nothing is there.
    /// </summary>
    /// <param name="source">The clean sound.</param>
    /// <param name="startSource">First second of the stretch.</param>
    /// <param name="lengthSeconds">Its length, 0.05 to 1 s.</param>
    /// <param name="capture">What came back.</param>
    /// <param name="guessCapture">Where the stretch should begin.</param>
    /// <param name="reachSeconds">How far from the guess to look, either way.</param>
    /// <param name="speeds">Speeds to try.</param>
    /// <param name="most">How many places to give.</param>
    internal List<Place> Find(
        WorkingSignal source,
        double startSource,
        double lengthSeconds,
        WorkingSignal capture,
        double guessCapture,
        double reachSeconds,
        ReadOnlySpan<double> speeds,
        int most = 1
    )
    {
        var length = (int)(lengthSeconds * _rate);
        var reach = (int)Math.Ceiling(reachSeconds * _rate) + 2;
        Prepare(TransformLength.AtLeast(length + 2 * reach + 64));
        var captureFrom = (long)Math.Round(guessCapture * _rate) - reach;
        _padded.AsSpan().Clear();
        capture.Read(captureFrom, _padded.AsSpan(0, length + 2 * reach));
        _transform.Forward(_padded, _captureRe, _captureIm);
        var places = new List<Place>();
        foreach (var speed in speeds)
        {
            Warp(source, startSource, speed, length);
            var sum = Multiply();
            if (sum <= 0)
                continue;
            _transform.Inverse(_re, _im, _correlation);
            var scale = _transform.Length / (2 * sum);
            if (most == 1)
            {
                var peak = 0;
                for (var lag = 1; lag < 2 * reach; lag++)
                    peak = Math.Abs(_correlation[lag]) > Math.Abs(_correlation[peak]) ? lag : peak;
                Keep(places, At(peak, captureFrom, speed, scale), most);
                continue;
            }
            for (var lag = 1; lag < 2 * reach; lag++)
            {
                var here = Math.Abs(_correlation[lag]);
                if (here >= Math.Abs(_correlation[lag - 1]) && here > Math.Abs(_correlation[lag + 1]))
                    Keep(places, At(lag, captureFrom, speed, scale), most);
            }
        }
        return places;
    }

    private Place At(int lag, long captureFrom, double speed, double scale)
    {
        var sign = _correlation[lag] < 0 ? -1 : 1;
        return new Place((captureFrom + lag + Offset(lag, sign)) / _rate, speed, Math.Abs(_correlation[lag]) * scale, sign);
    }

    // The strongest of each neighbourhood in time and speed stays.
    private static void Keep(List<Place> places, Place place, int most)
    {
        if (places.Count >= most && place.Strength <= places[^1].Strength)
            return;
        var rival = places.FindIndex(p =>
            Math.Abs(p.CaptureSeconds - place.CaptureSeconds) < SamePlaceSeconds && Math.Abs(p.Speed - place.Speed) < SamePlaceSpeed
        );
        if (rival >= 0)
        {
            if (places[rival].Strength >= place.Strength)
                return;
            places.RemoveAt(rival);
        }
        var index = places.FindIndex(p => p.Strength < place.Strength);
        places.Insert(index < 0 ? places.Count : index, place);
        if (places.Count > most)
            places.RemoveAt(most);
    }

    private double Offset(int peak, int sign)
    {
        if (peak == 0)
            return 0;
        var (a, b, c) = (sign * _correlation[peak - 1], sign * _correlation[peak], sign * _correlation[peak + 1]);
        var curvature = a - 2 * b + c;
        return curvature < 0 ? Math.Clamp(0.5 * (a - c) / curvature, -0.5, 0.5) : 0;
    }

    private void Warp(WorkingSignal source, double startSource, double speed, int length)
    {
        var first = startSource * _rate;
        var margin = Retimer.HalfWidthFrames(speed) + 1;
        var from = (long)Math.Floor(first) - margin;
        var count = (int)Math.Ceiling(length * speed) + 2 * margin + 2;
        if (_raw.Length < count)
            _raw = new float[count];
        source.Read(from, _raw.AsSpan(0, count));
        _padded.AsSpan().Clear();
        Retimer.RenderFixed(_raw.AsSpan(0, count), from, first, speed, _padded.AsSpan(0, length));
        // Short fades: a stretch cut out of a sustained sound must not be recognised by its edges.
        var fade = Math.Min(length / 4, (int)(0.01 * _rate));
        for (var i = 0; i < fade; i++)
        {
            var gain = (float)(0.5 - 0.5 * Math.Cos(Math.PI * (i + 0.5) / fade));
            _padded[i] *= gain;
            _padded[length - 1 - i] *= gain;
        }
        _transform.Forward(_padded, _re, _im);
    }

    private double Multiply()
    {
        var length = _transform.Length;
        var firstBin = (int)Math.Ceiling(LowHz * length / _rate);
        var endExcl = Math.Min(_re.Length, (int)(HighHz * length / _rate) + 1);
        Array.Clear(_re, 0, firstBin);
        Array.Clear(_im, 0, firstBin);
        Array.Clear(_re, endExcl, _re.Length - endExcl);
        Array.Clear(_im, endExcl, _im.Length - endExcl);
        double sum = 0;
        for (var k = firstBin; k < endExcl; k++)
        {
            var (xr, xi, yr, yi) = (_re[k], _im[k], _captureRe[k], _captureIm[k]);
            var (re, im) = (yr * xr + yi * xi, yi * xr - yr * xi);
            var magnitude = MathF.Sqrt(re * re + im * im);
            var hertz = k * _rate / length;
            // Square root of the magnitude stays: half-way between the plain correlation and the phase transform.
            var weight = magnitude > 1e-20f ? (float)(hertz * hertz / (hertz * hertz + TaperHz * TaperHz)) / MathF.Sqrt(magnitude) : 0;
            (_re[k], _im[k]) = (re * weight, im * weight);
            sum += magnitude * weight;
        }
        return sum;
    }

    private void Prepare(int length)
    {
        if (_transform.Length != length)
            _transform = new RealTransform(length);
        if (_padded.Length == length)
            return;
        (_padded, _correlation) = (new float[length], new float[length]);
        var bins = _transform.BinCount;
        (_captureRe, _captureIm, _re, _im) = (new float[bins], new float[bins], new float[bins], new float[bins]);
    }
}
