using System.Buffers.Binary;
using System.Runtime.InteropServices;
using System.Security.Cryptography;
using System.Text;
using Offtape.AudioFiles;
using Offtape.Base;

namespace Offtape.Web.Waves;

/// <summary>
/// A pyramid kept on the disk: a head (name and version of the layout, by what the file is known again, rate, channels, frames), the levels
/// from the finest on as 32-bit floats, and the SHA-256 of all that; every number in little-endian order. The same file gives the same bytes.
/// </summary>
internal static class PeakFile
{
    private const int Version = 1;
    private const int HeadBytes = 8 + 4 + 8 + 8 + 64 + 4 + 4 + 8;
    private static ReadOnlySpan<byte> Name => "OTPEAKS\n"u8;

    /// <exception cref="Fault">It cannot be written.</exception>
    public static void Save(string path, SourceMark mark, PeakPyramid pyramid) =>
        SafeFile.Write(
            path,
            replace: true,
            stream =>
            {
                using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
                void Put(ReadOnlySpan<byte> bytes)
                {
                    hash.AppendData(bytes);
                    stream.Write(bytes);
                }
                Put(Head(mark, pyramid.Levels, pyramid.SampleRateHz));
                for (var level = 0; level < pyramid.Levels.Count; level++)
                    Put(LittleEndian(pyramid.WholeLevel(level)));
                stream.Write(hash.GetHashAndReset());
            }
        );

    /// <summary>The pyramid of a file as it is now; null where none is kept, it is of another file or layout, or it is damaged.</summary>
    public static PeakPyramid? TryLoad(string path, SourceMark mark, PeakLevels levels, int sampleRateHz)
    {
        try
        {
            if (!File.Exists(path))
                return null;
            using var stream = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read, 1 << 16);
            using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
            var head = new byte[HeadBytes];
            stream.ReadExactly(head);
            if (!head.AsSpan().SequenceEqual(Head(mark, levels, sampleRateHz)))
                return null;
            hash.AppendData(head);
            var pyramid = new PeakPyramid(levels, sampleRateHz);
            for (var level = 0; level < levels.Count; level++)
            {
                var bytes = MemoryMarshal.AsBytes(pyramid.WholeLevel(level));
                stream.ReadExactly(bytes);
                hash.AppendData(bytes);
                if (!BitConverter.IsLittleEndian)
                    BinaryPrimitives.ReverseEndianness(MemoryMarshal.Cast<byte, int>(bytes), MemoryMarshal.Cast<byte, int>(bytes));
            }
            var told = new byte[SHA256.HashSizeInBytes];
            stream.ReadExactly(told);
            if (!hash.GetHashAndReset().AsSpan().SequenceEqual(told) || stream.ReadByte() >= 0)
                return null;
            pyramid.MarkWhole();
            return pyramid;
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }

    private static byte[] Head(SourceMark mark, PeakLevels levels, int sampleRateHz)
    {
        var head = new byte[HeadBytes];
        Name.CopyTo(head);
        var at = head.AsSpan(Name.Length);
        BinaryPrimitives.WriteInt32LittleEndian(at, Version);
        BinaryPrimitives.WriteInt64LittleEndian(at[4..], mark.ByteCount);
        BinaryPrimitives.WriteInt64LittleEndian(at[12..], mark.WrittenTicks);
        Encoding.ASCII.GetBytes(mark.Ends, at[20..]);
        BinaryPrimitives.WriteInt32LittleEndian(at[84..], sampleRateHz);
        BinaryPrimitives.WriteInt32LittleEndian(at[88..], levels.ChannelCount);
        BinaryPrimitives.WriteInt64LittleEndian(at[92..], levels.FrameCount);
        return head;
    }

    private static ReadOnlySpan<byte> LittleEndian(ReadOnlySpan<float> values)
    {
        if (BitConverter.IsLittleEndian)
            return MemoryMarshal.AsBytes(values);
        var turned = new int[values.Length];
        BinaryPrimitives.ReverseEndianness(MemoryMarshal.Cast<float, int>(values), turned);
        return MemoryMarshal.AsBytes(turned.AsSpan());
    }
}
