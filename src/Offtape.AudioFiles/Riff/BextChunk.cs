using System.Buffers.Binary;
using System.Text;

namespace Offtape.AudioFiles;

/// <summary>The bytes of the `bext` chunk: EBU Tech 3285 version 2 (2011), section 2.3.</summary>
internal static class BextChunk
{
    private const int FixedBytes = 602;
    private const short NotMeasured = 0x7FFF;

    /// <summary>Null when the chunk is too short to hold even the time reference.</summary>
    public static (BroadcastExtension Broadcast, long? TimeReferenceFrames)? Read(ReadOnlySpan<byte> chunk)
    {
        if (chunk.Length < 346)
            return null;
        // Fields that a short chunk lacks count as zero, which every field takes as "not given".
        Span<byte> fields = stackalloc byte[FixedBytes];
        fields.Clear();
        chunk[..Math.Min(chunk.Length, FixedBytes)].CopyTo(fields);
        var version = BinaryPrimitives.ReadUInt16LittleEndian(fields[346..]);
        var time = BinaryPrimitives.ReadUInt64LittleEndian(fields[338..]);
        var umid = version >= 1 ? fields.Slice(348, 64) : [];
        var hasLoudness = version >= 2 && chunk.Length >= 422;
        var broadcast = new BroadcastExtension
        {
            Description = Text(fields[..256]),
            Originator = Text(fields.Slice(256, 32)),
            OriginatorReference = Text(fields.Slice(288, 32)),
            OriginationDate = Text(fields.Slice(320, 10)),
            OriginationTime = Text(fields.Slice(330, 8)),
            Umid = umid.ContainsAnyExcept((byte)0) ? umid.ToArray() : [],
            LoudnessLufs = Loudness(fields[412..], hasLoudness),
            LoudnessRangeLu = Loudness(fields[414..], hasLoudness),
            TruePeakDbtp = Loudness(fields[416..], hasLoudness),
            MomentaryMaxLufs = Loudness(fields[418..], hasLoudness),
            ShortTermMaxLufs = Loudness(fields[420..], hasLoudness),
            CodingHistory = chunk.Length > FixedBytes ? Text(chunk[FixedBytes..]) : "",
        };
        return (broadcast, time <= long.MaxValue ? (long)time : null);
    }

    public static byte[] Write(BroadcastExtension broadcast, long? timeReferenceFrames)
    {
        var history = Encoding.Latin1.GetBytes(broadcast.CodingHistory);
        var bytes = new byte[FixedBytes + history.Length];
        var fields = bytes.AsSpan();
        Put(fields[..256], broadcast.Description);
        Put(fields.Slice(256, 32), broadcast.Originator);
        Put(fields.Slice(288, 32), broadcast.OriginatorReference);
        Put(fields.Slice(320, 10), broadcast.OriginationDate);
        Put(fields.Slice(330, 8), broadcast.OriginationTime);
        BinaryPrimitives.WriteUInt64LittleEndian(fields[338..], (ulong)(timeReferenceFrames ?? 0));
        // Version 1 has the same fields without loudness; version 2 with them.
        BinaryPrimitives.WriteUInt16LittleEndian(fields[346..], (ushort)(broadcast.HasLoudness ? 2 : 1));
        for (var i = 0; i < Math.Min(64, broadcast.Umid.Count); i++)
            fields[348 + i] = broadcast.Umid[i];
        if (broadcast.HasLoudness)
        {
            PutLoudness(fields[412..], broadcast.LoudnessLufs);
            PutLoudness(fields[414..], broadcast.LoudnessRangeLu);
            PutLoudness(fields[416..], broadcast.TruePeakDbtp);
            PutLoudness(fields[418..], broadcast.MomentaryMaxLufs);
            PutLoudness(fields[420..], broadcast.ShortTermMaxLufs);
        }
        history.CopyTo(fields[FixedBytes..]);
        return bytes;
    }

    private static string Text(ReadOnlySpan<byte> field)
    {
        var end = field.IndexOf((byte)0);
        return Encoding.Latin1.GetString(end < 0 ? field : field[..end]);
    }

    private static void Put(Span<byte> field, string text) =>
        Encoding.Latin1.GetBytes(text.AsSpan(0, Math.Min(text.Length, field.Length)), field);

    private static double? Loudness(ReadOnlySpan<byte> field, bool isPresent)
    {
        var value = BinaryPrimitives.ReadInt16LittleEndian(field);
        return isPresent && value != NotMeasured ? value / 100.0 : null;
    }

    // 100 times the value, ties away from zero: −22.645 is stored as −2265 (F727h). A value that is out of the field's range, or that is
    // not a number, counts as not measured.
    private static void PutLoudness(Span<byte> field, double? value)
    {
        // decimal, because the third decimal of a double such as −22.645 lies a hair to one side of the tie.
        var hundredths = value is > -327 and < 327 ? Math.Round((decimal)value.Value * 100, MidpointRounding.AwayFromZero) : NotMeasured;
        BinaryPrimitives.WriteInt16LittleEndian(field, (short)hundredths);
    }
}
