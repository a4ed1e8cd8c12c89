using System.Text.Json;
using Dapper;
using Microsoft.Data.Sqlite;

namespace Offtape.Studio;

/// <summary>The jobs that were closed, and the passes they hold.</summary>
internal static class JobBook
{
    public static void Put(SqliteConnection connection, ClosedJob job, string folder, string closedAt)
    {
        var jobId = connection.ExecuteScalar<long>(
            "INSERT INTO jobs (name, folder, closedAt) VALUES (@Name, @folder, @closedAt) RETURNING id",
            new
            {
                job.Name,
                folder,
                closedAt,
            }
        );
        connection.Execute(
            "INSERT INTO jobPasses (jobId, passId) VALUES (@jobId, @PassId)",
            job.Passes.Select(p => new { jobId, p.PassId }).Distinct()
        );
    }

    public static bool Has(SqliteConnection connection, string folder) =>
        connection.ExecuteScalar<long>("SELECT count(*) FROM jobs WHERE folder = @folder", new { folder }) > 0;

    /// <summary>Whether a job holds a pass. Of jobs from before their passes were noted, the folder says it, where it is still there.</summary>
    public static bool Holds(SqliteConnection connection, StudioPaths paths, string passId) =>
        connection.ExecuteScalar<long>("SELECT count(*) FROM jobPasses WHERE passId = @passId", new { passId }) > 0
        || connection
            .Query<string>("SELECT folder FROM jobs WHERE id NOT IN (SELECT jobId FROM jobPasses)")
            .AsList()
            .Any(f => Load(paths.ToFull(f))?.Passes.Any(p => p.PassId == passId) is true);

    /// <summary>The job of a folder; null where it cannot be read as one.</summary>
    public static ClosedJob? Load(string folder)
    {
        try
        {
            var job = JsonSerializer.Deserialize(File.ReadAllBytes(Path.Combine(folder, JobCloser.JsonName)), JobJson.Default.ClosedJob);
            return job?.Passes is null || job.Name is null ? null : job;
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException or JsonException)
        {
            return null;
        }
    }
}
