using Offtape.Base;

namespace Offtape.Web;

/// <summary>
/// A piece and a machine for who has neither yet. The app knows nothing of how they are made: whoever serves it brings them.
/// </summary>
public interface IDemoMaterial
{
    /// <summary>The name of the piece.</summary>
    string PieceName { get; }

    /// <summary>The name of the machine that it is printed through.</summary>
    string MachineName { get; }

    /// <summary>Speed of that machine's tape.</summary>
    double SpeedCmPerSecond { get; }

    /// <summary>Writes the clean sounds of the piece.</summary>
    /// <param name="folder">An existing folder that receives them.</param>
    /// <param name="progress">Told how far it is.</param>
    /// <param name="cancellation">Ends it.</param>
    /// <returns>Their paths, in order.</returns>
    IReadOnlyList<string> WriteSources(string folder, JobProgress progress, CancellationToken cancellation);

    /// <summary>Plays a send through the machine and writes what comes back.</summary>
    /// <param name="sendPath">The send.</param>
    /// <param name="capturePath">The file to write.</param>
    /// <param name="progress">Told how far it is.</param>
    /// <param name="cancellation">Ends it.</param>
    void PlayThroughMachine(string sendPath, string capturePath, JobProgress progress, CancellationToken cancellation);
}
