using System.Buffers.Binary;

namespace Offtape.AudioFiles;

/// <summary>The bytes of the `smpl` chunk: nine 32-bit fields, 24 bytes for each loop, and the maker's own data.</summary>
internal static class SmplChunk
{
    private const int FixedBytes = 36;
    private const int LoopBytes = 24;

    /// <summary>Null when the chunk is too short. The count of loops goes no further than the bytes do.</summary>
    public static SamplerInfo? Read(ReadOnlySpan<byte> chunk)
    {
        if (chunk.Length < FixedBytes)
            return null;
        var loopCount = (int)Math.Min(Field(chunk, 7), (chunk.Length - FixedBytes) / LoopBytes);
        var loops = new SampleLoop[loopCount];
        for (var i = 0; i < loopCount; i++)
        {
            var loop = chunk.Slice(FixedBytes + i * LoopBytes, LoopBytes);
            loops[i] = new SampleLoop(Field(loop, 0), Field(loop, 1), Field(loop, 2), Field(loop, 3), Field(loop, 4), Field(loop, 5));
        }
        return new SamplerInfo
        {
            Manufacturer = Field(chunk, 0),
            Product = Field(chunk, 1),
            SamplePeriodNanoseconds = Field(chunk, 2),
            UnityNote = Field(chunk, 3),
            PitchFraction = Field(chunk, 4),
            SmpteFormat = Field(chunk, 5),
            SmpteOffset = Field(chunk, 6),
            Loops = loops,
            MakerData = chunk[(FixedBytes + loopCount * LoopBytes)..].ToArray(),
        };
    }

    /// <summary>Loops beyond what 32 bits can say are left out.</summary>
    public static byte[] Write(SamplerInfo sampler, int sampleRateHz)
    {
        var loops = sampler.Loops.Where(l => l.StartFrame is >= 0 and <= uint.MaxValue && l.EndFrame is >= 0 and <= uint.MaxValue).ToList();
        var bytes = new byte[FixedBytes + LoopBytes * loops.Count + sampler.MakerData.Count];
        Put(
            bytes,
            sampler.Manufacturer,
            sampler.Product,
            sampler.SamplePeriodNanoseconds ?? SamplerInfo.SamplePeriodNanosecondsAt(sampleRateHz),
            sampler.UnityNote,
            sampler.PitchFraction,
            sampler.SmpteFormat,
            sampler.SmpteOffset,
            (uint)loops.Count,
            (uint)sampler.MakerData.Count
        );
        for (var i = 0; i < loops.Count; i++)
        {
            var loop = loops[i];
            Put(
                bytes.AsSpan(FixedBytes + i * LoopBytes),
                loop.Id,
                loop.Kind,
                (uint)loop.StartFrame,
                (uint)loop.EndFrame,
                loop.Fraction,
                loop.PlayCount
            );
        }
        var at = FixedBytes + LoopBytes * loops.Count;
        foreach (var value in sampler.MakerData)
            bytes[at++] = value;
        return bytes;
    }

    private static uint Field(ReadOnlySpan<byte> bytes, int index) => BinaryPrimitives.ReadUInt32LittleEndian(bytes[(4 * index)..]);

    private static void Put(Span<byte> bytes, params ReadOnlySpan<uint> fields)
    {
        for (var i = 0; i < fields.Length; i++)
            BinaryPrimitives.WriteUInt32LittleEndian(bytes[(4 * i)..], fields[i]);
    }
}
