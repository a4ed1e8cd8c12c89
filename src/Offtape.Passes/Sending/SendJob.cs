using Offtape.Base;

namespace Offtape.Passes;

/// <summary>Makes what is played to the machine, and the sheet that says what stands where.</summary>
public static class SendJob
{
    public const int MostTracks = 64;

    /// <summary>Writes <c>send.wav</c> and <c>pass.json</c> into the target folder: both or neither.</summary>
    /// <exception cref="Fault">Usage, an input that cannot be read, an output that cannot be written.</exception>
    /// <exception cref="OperationCanceledException">Cancelled: nothing stays.</exception>
    public static SendResult Run(SendRequest request, JobProgress progress, CancellationToken cancellation)
    {
        throw new NotSupportedException();
    }
}
