using Offtape.Base;

namespace Offtape.Studio;

/// <summary>What was taken into the log, and what could not be read.</summary>
/// <param name="Sends">New to the log.</param>
/// <param name="Returns">New to the log.</param>
/// <param name="Benches">New to the log.</param>
/// <param name="Takes">Takes without a sheet that name their pass themselves.</param>
/// <param name="Troubles">What could not be read, and why.</param>
/// <param name="Notices">Machines and tapes that are new.</param>
public sealed record RebuildReport(
    int Sends,
    int Returns,
    int Benches,
    int Takes,
    IReadOnlyList<string> Troubles,
    IReadOnlyList<Notice> Notices
);
