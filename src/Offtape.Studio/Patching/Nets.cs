using System.Numerics;

namespace Offtape.Studio;

/// <summary>
/// What hangs together electrically: which legs of which channels are on it, and what lies in the way. Four marks a channel (hot and cold leg
/// of the output and of the input) and one for the ground of either side.
/// </summary>
internal readonly record struct Net(ulong Marks, double AttenuationDb, bool BlocksDc, bool Isolates, bool TakesSpeaker)
{
    public const ulong GroundA = 1UL << 62;
    public const ulong GroundB = 1UL << 63;
    public const ulong Grounds = GroundA | GroundB;

    /// <summary>Four marks each, under the two grounds.</summary>
    public const int MostLanes = 15;

    private const ulong SourceHots = 0x0111_1111_1111_1111;
    private const ulong SourceColds = SourceHots << 1;
    private const ulong SinkHots = SourceHots << 2;
    private const ulong SinkColds = SourceHots << 3;

    public static ulong SourceHot(int lane) => 1UL << (4 * lane);

    public static ulong SourceCold(int lane) => 1UL << (4 * lane + 1);

    public static ulong SinkHot(int lane) => 1UL << (4 * lane + 2);

    public static ulong SinkCold(int lane) => 1UL << (4 * lane + 3);

    /// <summary>All marks of some channels, one bit a channel.</summary>
    public static ulong MarksOf(uint lanes)
    {
        var marks = 0UL;
        for (var k = 0; k < MostLanes; k++)
            if ((lanes >> k & 1) != 0)
                marks |= 0xFUL << (4 * k);
        return marks;
    }

    /// <summary>The channels that marks speak of, one bit a channel.</summary>
    public static uint LanesOf(ulong marks)
    {
        marks &= ~Grounds;
        var lanes = 0u;
        for (var k = 0; marks != 0; k++, marks >>= 4)
            if ((marks & 0xF) != 0)
                lanes |= 1u << k;
        return lanes;
    }

    public bool Has(ulong mark) => (Marks & mark) != 0;

    /// <summary>The two as one. An input that nobody wants may be grounded: it is then no longer of interest.</summary>
    public Net With(Net other, ulong unwantedSinkHots)
    {
        var marks = Marks | other.Marks;
        if ((marks & Grounds) != 0)
            marks &= ~unwantedSinkHots;
        return new Net(
            marks,
            AttenuationDb + other.AttenuationDb,
            BlocksDc || other.BlocksDc,
            Isolates || other.Isolates,
            TakesSpeaker || other.TakesSpeaker
        );
    }

    /// <summary>
    /// Whether what hangs together here must not: two outputs, an output on ground, the wrong channel, a hot leg on a cold one, two inputs.
    /// Cold legs may share a ground.
    /// </summary>
    public bool IsWrong
    {
        get
        {
            var (outHot, inHot) = (Marks & SourceHots, Marks & SinkHots);
            var (outCold, inCold) = (Marks & SourceColds, Marks & SinkColds);
            var isGround = (Marks & Grounds) != 0;
            if ((outHot | inHot) != 0)
                return isGround || (outCold | inCold) != 0 || IsNotOneChannel(outHot, inHot);
            return !isGround && IsNotOneChannel(outCold, inCold);
        }
    }

    private static bool IsNotOneChannel(ulong atSource, ulong atSink) =>
        BitOperations.PopCount(atSource) > 1
        || BitOperations.PopCount(atSink) > 1
        || atSource != 0 && atSink != 0 && atSource << 2 != atSink;
}
