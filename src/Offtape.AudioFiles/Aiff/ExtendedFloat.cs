using System.Buffers.Binary;
using System.Numerics;

namespace Offtape.AudioFiles;

/// <summary>
/// The 80-bit extended number in which AIFF keeps its sample rate (IEEE 754 double extended, as in the Standard Apple Numeric
/// Environment): sign and 15 bits of exponent, then 64 bits of mantissa whose highest bit stands for 1.
/// </summary>
internal static class ExtendedFloat
{
    public const int ByteCount = 10;

    private const int Bias = 16_383;

    public static double Read(ReadOnlySpan<byte> bytes)
    {
        var head = BinaryPrimitives.ReadUInt16BigEndian(bytes);
        var mantissa = BinaryPrimitives.ReadUInt64BigEndian(bytes[2..]);
        var exponent = head & 0x7FFF;
        if (exponent == 0x7FFF)
            return double.NaN;
        var value = Math.ScaleB(mantissa, exponent - Bias - 63);
        return (head & 0x8000) == 0 ? value : -value;
    }

    /// <param name="value">A whole number above zero.</param>
    /// <param name="bytes">Receives ten bytes.</param>
    public static void Write(uint value, Span<byte> bytes)
    {
        var shift = BitOperations.LeadingZeroCount((ulong)value);
        BinaryPrimitives.WriteUInt16BigEndian(bytes, (ushort)(Bias + 63 - shift));
        BinaryPrimitives.WriteUInt64BigEndian(bytes[2..], (ulong)value << shift);
    }
}
