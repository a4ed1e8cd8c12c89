using System.Text;

namespace Offtape.Signal.Tests.Retiming;

/// <summary>
/// Error by bandwidth: the greatest RMS error of any hundred outputs, in dB of the RMS of a sine, up to each frequency. A table that
/// fails says all that was measured.
/// </summary>
internal sealed class LimitTable(params (double UpToShareOfBand, double LimitDb)[] rows)
{
    private const int PieceFrames = 100;

    private readonly double[] _worst = new double[rows.Length];
    private double _sum;
    private double _shareOfBand;
    private int _count;

    public double WorstDb(int row) => ToDb(_worst[row]);

    /// <param name="shareOfBand">The frequency at this moment, as a share of the band limit.</param>
    /// <param name="error">Output less truth, for a sine of amplitude 1.</param>
    public void Add(double shareOfBand, double error)
    {
        _sum += error * error;
        _shareOfBand = Math.Max(_shareOfBand, Math.Abs(shareOfBand));
        if (++_count < PieceFrames)
            return;
        for (var row = 0; row < rows.Length; row++)
            if (_shareOfBand <= rows[row].UpToShareOfBand)
                _worst[row] = Math.Max(_worst[row], _sum / PieceFrames);
        (_sum, _shareOfBand, _count) = (0, 0, 0);
    }

    public void AssertHeld(string what)
    {
        var text = new StringBuilder(what).Append(": up to share of the band | limit dB | measured dB");
        var held = true;
        for (var row = 0; row < rows.Length; row++)
        {
            var (share, limitDb) = rows[row];
            text.Append($"\n  {share:F2} | {limitDb:F1} | {WorstDb(row):F1}");
            if (_worst[row] == 0)
                text.Append(" (nothing measured)");
            held &= _worst[row] > 0 && WorstDb(row) <= limitDb;
        }
        if (!held)
            throw new InvalidOperationException(text.ToString());
    }

    private static double ToDb(double meanSquare) => 10 * Math.Log10(meanSquare / 0.5);
}
