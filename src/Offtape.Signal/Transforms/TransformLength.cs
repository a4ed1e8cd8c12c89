using System.Numerics;

namespace Offtape.Signal;

/// <summary>The lengths that the transforms accept, and the choice of one.</summary>
public static class TransformLength
{
    public const int Minimum = 2;

    public const int Maximum = 1 << 24;

    /// <summary>The shortest transform that holds this many frames.</summary>
    /// <exception cref="ArgumentOutOfRangeException">More than 2^24 frames, or a negative number.</exception>
    public static int AtLeast(int frameCount)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(frameCount);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(frameCount, Maximum);
        return Math.Max(Minimum, (int)BitOperations.RoundUpToPowerOf2((uint)frameCount));
    }

    internal static void Check(int length)
    {
        if (length is < Minimum or > Maximum || !BitOperations.IsPow2(length))
            throw new ArgumentOutOfRangeException(nameof(length), length, "A transform's length is a power of two from 2 to 2^24.");
    }
}
