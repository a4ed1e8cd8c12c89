using Dapper;

namespace Offtape.Studio;

/// <summary>What passes of the log can be asked for by: only what some pass has.</summary>
public sealed record LogChoices
{
    public static LogChoices None { get; } = new();

    public IReadOnlyList<string> Machines { get; init; } = [];

    public IReadOnlyList<string> Tapes { get; init; } = [];

    /// <summary>In cm/s, the slowest first.</summary>
    public IReadOnlyList<double> SpeedsCmPerSecond { get; init; } = [];

    public long PassCount { get; init; }

    public static LogChoices Of(StudioStore store) =>
        store.Read(c => new LogChoices
        {
            Machines = c.Query<string>("SELECT name FROM machines WHERE id IN (SELECT machineId FROM passes) ORDER BY name").AsList(),
            Tapes = c.Query<string>(
                    "SELECT name FROM tapes WHERE id IN (SELECT d.tapeId FROM sides d JOIN passes p ON p.sideId = d.id) ORDER BY name"
                )
                .AsList(),
            SpeedsCmPerSecond = c.Query<double>(
                    "SELECT DISTINCT speedCmPerSecond FROM passes WHERE speedCmPerSecond IS NOT NULL ORDER BY speedCmPerSecond"
                )
                .AsList(),
            PassCount = c.ExecuteScalar<long>("SELECT count(*) FROM passes"),
        });
}
