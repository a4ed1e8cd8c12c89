namespace Offtape.Passes.Mapping;

/// <summary>The cancellers of a take's channels.</summary>
internal sealed class BleedCancellers : IDisposable
{
    private readonly Dictionary<int, BleedCanceller> _byChannel;

    internal BleedCancellers(IReadOnlyList<StripeBleed> bleeds, double captureRateHz) =>
        _byChannel = bleeds
            .Where(b => b.Response is not null)
            .ToDictionary(b => b.CaptureChannel, b => new BleedCanceller(b, captureRateHz));

    /// <summary>Subtracts what bleeds into a channel; nothing where nothing does.</summary>
    internal void Subtract(int captureChannel, long firstFrame, Span<float> channel)
    {
        if (_byChannel.TryGetValue(captureChannel, out var canceller))
            canceller.Subtract(firstFrame, channel);
    }

    public void Dispose()
    {
        foreach (var canceller in _byChannel.Values)
            canceller.Dispose();
    }
}
