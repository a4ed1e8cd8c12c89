using System.Buffers.Binary;
using CsCheck;

namespace Offtape.AudioFiles.Tests;

/// <summary>One thing that may happen to the bytes of a file.</summary>
internal abstract record Mutation
{
    // Numbers on which parsers stumble: nothing, all ones, the edges of signed and unsigned sizes, and small ones.
    private static readonly long[] Odd =
    [
        0,
        1,
        2,
        3,
        7,
        8,
        16,
        0x7F,
        0x80,
        0xFF,
        0x7FFF,
        0x8000,
        0xFFFF,
        0x7FFF_FFFF,
        0x8000_0000,
        0xFFFF_FFFE,
        0xFFFF_FFFF,
    ];

    /// <summary>The place is a share of the file, squared, so that the header is hit more often than the audio.</summary>
    public static Gen<Mutation> Any { get; } =
        from kind in Gen.Int[0, 15]
        from share in Gen.Int[0, 999_999].Select(i => i / 1e6)
        from value in Gen.UInt
        from odd in Gen.Int[0, Odd.Length - 1]
        from length in Gen.Int[1, 40]
        select (Mutation)(
            kind switch
            {
                < 3 => new SetByte(share * share, (byte)value),
                < 6 => new FlipBit(share * share, (int)(value % 8)),
                < 9 => new SetWord(share * share, Odd[odd], false),
                < 12 => new SetWord(share * share, Odd[odd], true),
                12 => new Cut(share),
                13 => new Delete(share * share, length),
                14 => new Insert(share * share, length, (byte)value),
                _ => new Repeat(share * share, length),
            }
        );

    public abstract byte[] Apply(byte[] file);

    private static int At(byte[] file, double share) => Math.Min((int)(share * file.Length), Math.Max(0, file.Length - 1));

    internal sealed record SetByte(double Share, byte Value) : Mutation
    {
        public override byte[] Apply(byte[] file)
        {
            if (file.Length > 0)
                file[At(file, Share)] = Value;
            return file;
        }
    }

    internal sealed record FlipBit(double Share, int Bit) : Mutation
    {
        public override byte[] Apply(byte[] file)
        {
            if (file.Length > 0)
                file[At(file, Share)] ^= (byte)(1 << Bit);
            return file;
        }
    }

    internal sealed record SetWord(double Share, long Value, bool IsBigEndian) : Mutation
    {
        public override byte[] Apply(byte[] file)
        {
            // Fields stand at even places.
            var at = At(file, Share) & ~1;
            if (at + 4 > file.Length)
                return file;
            if (IsBigEndian)
                BinaryPrimitives.WriteUInt32BigEndian(file.AsSpan(at), (uint)Value);
            else
                BinaryPrimitives.WriteUInt32LittleEndian(file.AsSpan(at), (uint)Value);
            return file;
        }
    }

    internal sealed record Cut(double Share) : Mutation
    {
        public override byte[] Apply(byte[] file) => file[..(int)(Share * file.Length)];
    }

    internal sealed record Delete(double Share, int Length) : Mutation
    {
        public override byte[] Apply(byte[] file) => [.. file[..At(file, Share)], .. file.Skip(At(file, Share) + Length)];
    }

    internal sealed record Insert(double Share, int Length, byte Value) : Mutation
    {
        public override byte[] Apply(byte[] file) =>
            [.. file[..At(file, Share)], .. Enumerable.Repeat(Value, Length), .. file[At(file, Share)..]];
    }

    internal sealed record Repeat(double Share, int Length) : Mutation
    {
        public override byte[] Apply(byte[] file)
        {
            var at = At(file, Share);
            var piece = file.AsSpan(at, Math.Min(Length, file.Length - at)).ToArray();
            return [.. file[..at], .. piece, .. file[at..]];
        }
    }
}
