using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Offtape.Signal;

/// <summary>
/// A piece of input laid out for sums across lanes: row m holds, side by side, frame m of eight stretches that begin a fixed number of
/// frames apart and may overlap. A window of any lane is then the same run of rows. Frames outside the input are silence.
/// </summary>
internal readonly ref struct LaneInput
{
    public const int Lanes = 8;

    private readonly Span<float> _rows;
    private readonly int _framesApart;

    /// <param name="scratch">Where the rows are kept.</param>
    /// <param name="start">How much of it is in use otherwise.</param>
    /// <param name="framesApart">Frames from the begin of one lane's stretch to that of the next.</param>
    /// <param name="rowCount">Frames of a stretch.</param>
    public LaneInput(float[] scratch, int start, int framesApart, int rowCount)
    {
        // Rows on their own alignment, so that none lies across two cache lines. Should the array be moved, only time is lost.
        var address = Marshal.UnsafeAddrOfPinnedArrayElement(scratch, start);
        var skip = (int)((32 - address % 32) % 32 / sizeof(float));
        _rows = scratch.AsSpan(start + skip, Padded(rowCount) * Lanes);
        _framesApart = framesApart;
    }

    /// <summary>Floats of scratch that so many rows need.</summary>
    public static int RoomFor(int rowCount) => (Padded(rowCount) + 1) * Lanes;

    /// <summary>The begin of a row of eight.</summary>
    public ref float Row(int row) => ref _rows[row * Lanes];

    /// <summary>Lays out the input from a frame of it on (which may lie outside). False if there is nothing but silence.</summary>
    public bool Fill(ReadOnlySpan<float> input, double firstFrame)
    {
        var rowCount = _rows.Length / Lanes;
        var reach = (double)_framesApart * (Lanes - 1);
        if (firstFrame + reach + rowCount <= 0 || firstFrame >= input.Length)
            return false;
        var first = (int)firstFrame;
        for (var row = 0; row < rowCount; row += Lanes)
        {
            var frame = first + row;
            if (Transposition.IsSupported && frame >= 0 && frame + reach + Lanes <= input.Length)
                Transposition.OfEight(
                    ref Unsafe.Add(ref MemoryMarshal.GetReference(input), frame),
                    (nuint)_framesApart,
                    ref Row(row),
                    Lanes
                );
            else
                CopySome(input, frame, row);
        }
        return true;
    }

    private static int Padded(int rowCount) => (rowCount + Lanes - 1) / Lanes * Lanes;

    private void CopySome(ReadOnlySpan<float> input, int frame, int row)
    {
        for (var lane = 0; lane < Lanes; lane++)
        for (var k = 0; k < Lanes; k++)
        {
            var from = frame + lane * _framesApart + k;
            _rows[(row + k) * Lanes + lane] = (uint)from < (uint)input.Length ? input[from] : 0;
        }
    }
}
