using Offtape.Base;

namespace Offtape.Bench;

/// <summary>What came of reading captures.</summary>
/// <param name="Report">All that was read.</param>
/// <param name="Files">What was written, the report first, the page second.</param>
/// <param name="ExitCode">
/// <see cref="ExitCode.Incomplete"/> where the check signal, or a part of it, is not in the captures, or a reading lies outside a limit.
/// </param>
public sealed record BenchReadResult(BenchReport Report, IReadOnlyList<string> Files, ExitCode ExitCode);
