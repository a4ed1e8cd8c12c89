namespace Offtape.Signal;

/// <summary>
/// The taps of one phase of a whole ratio, in two halves with zeros before, between and after, so that two phases whose windows begin a
/// few frames apart can be summed over the same frames.
/// </summary>
internal readonly ref struct PhaseTaps
{
    private readonly Span<float> _room;
    private readonly int _zeros;

    /// <param name="room">As much as <see cref="RoomFor"/> says.</param>
    /// <param name="kernel">The kernel that all taps will come from.</param>
    /// <param name="zeros">The farthest that two windows begin apart.</param>
    public PhaseTaps(Span<float> room, RetimerKernel kernel, int zeros)
    {
        _room = room;
        _zeros = zeros;
        Half = kernel.TapCount / 2;
        _room.Clear();
    }

    /// <summary>Taps of a half.</summary>
    public int Half { get; }

    /// <summary>Tap 0 to tap Half − 1, with zeros before and after.</summary>
    public ref float Rising => ref _room[_zeros];

    /// <summary>Where tap 0 would be, were the second half without zeros before it: tap Half and on, with zeros before and after.</summary>
    public ref float Falling => ref _room[2 * _zeros];

    public static int RoomFor(RetimerKernel kernel, int zeros) => kernel.TapCount + 3 * zeros;

    /// <summary>Writes the taps of a fraction of a frame.</summary>
    public void Write(RetimerKernel kernel, double fraction)
    {
        kernel.WriteTaps(fraction, _room[_zeros..]);
        _room.Slice(_zeros + Half, Half).CopyTo(_room[(2 * _zeros + Half)..]);
        _room.Slice(_zeros + Half, _zeros).Clear();
    }
}
