using System.Globalization;
using Offtape.Base;
using Offtape.Studio;

namespace Offtape.Web.Logging;

/// <summary>Lines of the log in the words of a page.</summary>
internal static class LogWords
{
    public const string NotSaid = "not said";

    /// <summary>A stored moment as <c>31 May 2026, 12:00</c>, UTC; a moment that is none stays as it is written.</summary>
    public static string Moment(string stored) =>
        DateTimeOffset.TryParse(stored, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out var at)
            ? at.ToUniversalTime().ToString("d MMMM yyyy, HH:mm", CultureInfo.InvariantCulture)
            : stored;

    /// <summary>As <see cref="Moment"/>; where a day alone was noted, the day alone.</summary>
    public static string Day(string stored) =>
        Moment(stored) is var moment && moment.EndsWith(", 00:00", StringComparison.Ordinal) ? moment[..^7] : moment;

    public static string? Tape(LoggedPass pass)
    {
        if (pass.Tape is not { } tape)
            return null;
        var side = pass.Side is null ? tape : $"{tape}, side {pass.Side}";
        return pass.TapeTracks.Count == 0
            ? side
            : $"{side}, {(pass.TapeTracks.Count == 1 ? "track" : "tracks")} {Words.List([.. pass.TapeTracks.Select(t => $"{t}")])}";
    }

    /// <summary>Without the zeros at its end.</summary>
    public static string Plain(double value, int mostDecimals = 3)
    {
        var text = Words.Number(value, mostDecimals);
        return text.Contains('.', StringComparison.Ordinal) ? text.TrimEnd('0').TrimEnd('.') : text;
    }

    public static string Speed(double cmPerSecond) => With(Plain(cmPerSecond, 2), "cm/s");

    public static string With(string number, string unit) => number + Words.ThinSpace + unit;

    /// <summary>How far a speed lies off that of the send.</summary>
    public static string SpeedOff(double ratio) => With(Words.Signed((ratio - 1) * 100, 2), "%");

    public static string Sounds(IReadOnlyList<string> names) =>
        names.Count <= 3 ? string.Join(", ", names) : $"{string.Join(", ", names.Take(2))} and {names.Count - 2} more";

    /// <summary>Everything that was set, in the order in which a hand sets it.</summary>
    public static IEnumerable<(string Name, string? Value)> Settings(LoggedPass pass)
    {
        yield return ("Machine", pass.Machine);
        yield return ("Tape", Tape(pass));
        yield return ("Tape type", pass.TapeType);
        yield return ("Starts at", Start(pass));
        yield return ("Speed", pass.SpeedCmPerSecond is { } speed ? Speed(speed) : null);
        yield return ("Pitch control", pass.PitchPercent is { } pitch ? With(Words.Signed(pitch, 2), "%") : null);
        yield return ("Input level", pass.InputLevel);
        yield return ("Noise reduction", pass.NoiseReduction);
        yield return ("Peak of the send", With(Words.Number(pass.LevelDbfs, 1), "dBFS"));
        yield return (
            "Printed",
            (pass.PrintRatio == 1 ? "as it is" : $"{Plain(pass.PrintRatio)} times as fast") + (pass.Reversed ? ", backwards" : "")
        );
        yield return ("Length", Words.Duration(pass.LengthSeconds));
        yield return ("Layout", pass.Layout);
    }

    private static string? Start(LoggedPass pass) =>
        (pass.StartCounter, pass.StartSeconds) switch
        {
            (null, null) => null,
            ({ } counter, null) => $"counter {Plain(counter)}",
            (null, { } seconds) => Words.Clock(seconds),
            ({ } counter, { } seconds) => $"counter {Plain(counter)}, {Words.Clock(seconds)}",
        };

    /// <summary>What a machine has run, and of what that is the sum.</summary>
    public static string Hours(MachineHours hours)
    {
        var parts = new List<string>();
        void Add(double part, string words)
        {
            // What rounds to nothing is in the sum all the same.
            if (Math.Abs(part) >= 0.05)
                parts.Add($"{With(Words.Number(part, 1), "h")} {words}");
        }
        Add(hours.Before, "before the log began");
        Add(hours.Typed, "added by hand");
        Add(hours.Recording, "recording passes");
        Add(hours.Replaying, "playing them back");
        var sum = parts.Count > 1 ? ": " + Words.List(parts) : "";
        var left = hours.NotBackCount > 0 ? $". {Words.Count(hours.NotBackCount, "pass", "passes")} not back yet, and not counted" : "";
        return $"{With(Words.Number(hours.Total, 1), "h")}{sum}{left}";
    }

    /// <summary>When a task was last done, and how often it is.</summary>
    public static string When(UpkeepDue task)
    {
        var last = (task.LastDone, task.HoursSince) switch
        {
            (null, _) => "Never noted",
            ({ } day, { } hours) => $"Last on {day}, {With(Words.Number(hours, 1), "h")} of running ago",
            ({ } day, null) => $"Last on {day}",
        };
        return task.EveryHours is { } every
            ? $"{last}; every {With(Plain(every), "h")} is common practice, no source."
            : $"{last}; by what the bench shows.";
    }
}
