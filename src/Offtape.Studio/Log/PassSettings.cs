using Dapper;
using Offtape.Base;
using Offtape.Passes;

namespace Offtape.Studio;

/// <summary>Notes afterwards what was not said when a pass was sent.</summary>
public sealed class PassSettings(StudioStore store)
{
    /// <summary>What is said replaces what the log has; what is null leaves it.</summary>
    /// <returns>Machines and tapes that are new.</returns>
    /// <exception cref="Fault">Incomplete: there is no such pass.</exception>
    public IReadOnlyList<Notice> Set(string passId, SheetRun run, double? speedCmPerSecond, DateTime now) =>
        store.Write(c =>
        {
            var id =
                SendRecord.PassOf(c, passId) ?? throw Fault.Incomplete($"The log has no pass \"{passId}\"", "log list shows what it has.");
            var notices = new List<Notice>();
            var names = new NameBook(c, Words.Moment(now), notices);
            var sideId = names.Side(run.Tape, run.Side, run.TapeType);
            c.Execute(
                """
                UPDATE passes SET machineId = coalesce(@machineId, machineId), sideId = coalesce(@sideId, sideId),
                    speedCmPerSecond = coalesce(@speed, speedCmPerSecond), startCounter = coalesce(@StartCounter, startCounter),
                    startSeconds = coalesce(@StartSeconds, startSeconds), pitchPercent = coalesce(@PitchPercent, pitchPercent),
                    inputLevel = coalesce(@InputLevel, inputLevel), noiseReduction = coalesce(@NoiseReduction, noiseReduction),
                    tapeType = coalesce(@TapeType, tapeType), note = coalesce(@Note, note)
                WHERE id = @id
                """,
                new
                {
                    id,
                    machineId = names.Machine(run.Machine),
                    sideId,
                    speed = speedCmPerSecond,
                    run.StartCounter,
                    run.StartSeconds,
                    run.PitchPercent,
                    run.InputLevel,
                    run.NoiseReduction,
                    run.TapeType,
                    run.Note,
                }
            );
            StretchBook.Move(c, id);
            return notices;
        });
}
