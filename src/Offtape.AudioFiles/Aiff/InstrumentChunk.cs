using System.Buffers.Binary;

namespace Offtape.AudioFiles;

/// <summary>
/// The `INST` chunk: base note, detuning in cents, ranges of notes and velocities, gain, and two loops whose ends are markers. Base note,
/// detuning and the sustain loop are read and written; the rest is written as "everything, unchanged".
/// </summary>
/// <remarks>
/// AIFF says how the player should alter the pitch, `smpl` how far the sound lies above its note: the signs are opposite.
/// </remarks>
internal static class InstrumentChunk
{
    public const int ByteCount = 20;

    // A full turn of the 32-bit pitch fraction is one semitone.
    private const double FractionPerCent = 4_294_967_296.0 / 100;

    public static SamplerInfo Read(ReadOnlySpan<byte> chunk, IReadOnlyList<CuePoint> markers)
    {
        int note = (sbyte)chunk[0];
        var centsAbove = -Math.Clamp((int)(sbyte)chunk[1], -50, 50);
        if (centsAbove < 0)
            (note, centsAbove) = (note - 1, centsAbove + 100);
        return new SamplerInfo
        {
            UnityNote = (uint)Math.Max(note, 0),
            PitchFraction = (uint)(centsAbove * FractionPerCent),
            Loops = Loop(chunk[8..], markers) is { } loop ? [loop] : [],
        };
    }

    /// <param name="sampler">The sampler's notes.</param>
    /// <param name="loopStartId">The marker where the first loop begins.</param>
    /// <param name="loopEndId">The marker after its last frame.</param>
    public static byte[] Write(SamplerInfo sampler, ushort loopStartId, ushort loopEndId)
    {
        var bytes = new byte[ByteCount];
        var note = sampler.UnityNote;
        var centsAbove = (int)Math.Round(sampler.PitchFraction / FractionPerCent);
        if (centsAbove > 50)
            (note, centsAbove) = (note + 1, centsAbove - 100);
        bytes[0] = (byte)Math.Min(note, 127);
        bytes[1] = (byte)(sbyte)-centsAbove;
        (bytes[2], bytes[3], bytes[4], bytes[5]) = (0, 127, 1, 127);
        if (sampler.Loops.Count > 0)
        {
            // 1 plays forwards, 2 forwards and backwards.
            BinaryPrimitives.WriteUInt16BigEndian(bytes.AsSpan(8), (ushort)(sampler.Loops[0].Kind == 1 ? 2 : 1));
            BinaryPrimitives.WriteUInt16BigEndian(bytes.AsSpan(10), loopStartId);
            BinaryPrimitives.WriteUInt16BigEndian(bytes.AsSpan(12), loopEndId);
        }
        return bytes;
    }

    private static SampleLoop? Loop(ReadOnlySpan<byte> loop, IReadOnlyList<CuePoint> markers)
    {
        var mode = BinaryPrimitives.ReadUInt16BigEndian(loop);
        var start = Marker(BinaryPrimitives.ReadUInt16BigEndian(loop[2..]), markers);
        var endExcl = Marker(BinaryPrimitives.ReadUInt16BigEndian(loop[4..]), markers);
        // A marker stands between frames: the loop's last frame is the one before its end.
        return mode is 1 or 2 && start is { } first && endExcl is { } end && end > first
            ? new SampleLoop(0, mode == 2 ? 1u : 0u, first, end - 1)
            : null;
    }

    private static long? Marker(uint id, IReadOnlyList<CuePoint> markers)
    {
        foreach (var marker in markers)
            if (marker.Id == id)
                return marker.Frame;
        return null;
    }
}
