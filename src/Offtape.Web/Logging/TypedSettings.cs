using System.Globalization;
using Offtape.Base;
using Offtape.Passes;
using Offtape.Studio;
using Offtape.Web.Taping;

namespace Offtape.Web.Logging;

/// <summary>
/// What a page has of how a pass was run, as texts. It begins with what the log has; what differs from that when it is kept is what was meant: a
/// text that is new is noted, one that is gone is emptied.
/// </summary>
internal sealed class TypedSettings
{
    private Dictionary<PassFact, string> _before = [];
    private readonly Dictionary<PassFact, string> _now = [];
    private string _sideBefore = "";
    private string _side = "";

    public string this[PassFact fact]
    {
        get => _now.GetValueOrDefault(fact, "");
        set => _now[fact] = value;
    }

    /// <summary>Side of the tape; it goes with the tape.</summary>
    public string Side
    {
        get => _side;
        set => _side = value;
    }

    /// <summary>Shows what the log has, except where something else was typed already.</summary>
    public void Show(LoggedPass pass)
    {
        var texts = new Dictionary<PassFact, string>
        {
            [PassFact.Machine] = pass.Machine ?? "",
            [PassFact.Tape] = pass.Tape ?? "",
            [PassFact.TapeTracks] = string.Join(',', pass.TapeTracks),
            [PassFact.StartCounter] = Text(pass.StartCounter),
            [PassFact.Start] = pass.StartSeconds is { } start ? ShortClock(start) : "",
            [PassFact.Speed] = pass.SpeedCmPerSecond?.ToString("R", CultureInfo.InvariantCulture) ?? "",
            [PassFact.Pitch] = pass.PitchPercent is { } pitch ? Figures.Signed(pitch, 6) : "",
            [PassFact.InputLevel] = pass.InputLevel ?? "",
            [PassFact.NoiseReduction] = pass.NoiseReduction ?? "",
            [PassFact.TapeType] = pass.TapeType ?? "",
            [PassFact.Note] = pass.Note,
        };
        foreach (var (fact, text) in texts)
            if (this[fact] == _before.GetValueOrDefault(fact, ""))
                _now[fact] = text;
        if (_side == _sideBefore)
            _side = pass.Side ?? "";
        (_before, _sideBefore) = (texts, pass.Side ?? "");
    }

    /// <summary>Shows what the log has, whatever was typed.</summary>
    public void Renew(LoggedPass pass)
    {
        _now.Clear();
        _before = [];
        (_side, _sideBefore) = ("", "");
        Show(pass);
    }

    /// <summary>What is to be noted and emptied.</summary>
    /// <exception cref="Fault">Usage: something typed is not understood, or nothing was changed.</exception>
    public (SheetRun Run, double? SpeedCmPerSecond, IReadOnlyList<PassFact> Emptied) Read()
    {
        var tape = Said(PassFact.Tape);
        var side = _side.Trim() == _sideBefore ? null : TypedFact.Text(_side);
        var hasTape = this[PassFact.Tape].Trim().Length > 0;
        if (_side.Trim() != _sideBefore && side is null && hasTape)
            throw Fault.Usage("A tape has a side", "Empty the tape as well, or write which side it is.");
        if (side is not null && !hasTape)
            throw Fault.Usage("A side needs its tape", "Write the name of the tape as well.");
        var run = new SheetRun
        {
            Machine = Said(PassFact.Machine),
            // A side is of a tape: both are said where one of them is.
            Tape = tape ?? (side is null ? null : this[PassFact.Tape].Trim()),
            Side = side ?? (tape is null ? null : TypedFact.Text(_side)),
            TapeTracks = Said(PassFact.TapeTracks) is { } tracks ? TypedFact.Tracks(tracks) : null,
            TapeType = Said(PassFact.TapeType),
            StartSeconds = Said(PassFact.Start) is { } start ? TypedTime.Parse(start) : null,
            StartCounter = TypedFact.Number(Said(PassFact.StartCounter) ?? "", "Counter", "", -SheetRun.MostCounter, SheetRun.MostCounter),
            PitchPercent = TypedFact.Number(
                Said(PassFact.Pitch) ?? "",
                "Pitch control",
                "%",
                -SheetRun.MostPitchPercent,
                SheetRun.MostPitchPercent
            ),
            InputLevel = Said(PassFact.InputLevel),
            NoiseReduction = Said(PassFact.NoiseReduction),
            Note = Said(PassFact.Note),
        };
        double? speed = double.TryParse(Said(PassFact.Speed), CultureInfo.InvariantCulture, out var cm) ? cm : null;
        PassFact[] emptied = [.. PassFact.All.Where(f => this[f].Trim().Length == 0 && _before.GetValueOrDefault(f, "").Length > 0)];
        if (run == new SheetRun() && speed is null && emptied.Length == 0)
            throw Fault.Usage("Nothing is changed", "Fill in what you know, or empty what is not so.");
        return (run, speed, emptied);
    }

    // What was written anew.
    private string? Said(PassFact fact) => this[fact].Trim() == _before.GetValueOrDefault(fact, "") ? null : TypedFact.Text(this[fact]);

    private static string Text(double? value) => value is { } number ? Figures.Plain(number) : "";

    // Thousandths only where there are some.
    private static string ShortClock(double seconds) =>
        Words.Clock(seconds) is var clock && clock.EndsWith(".000", StringComparison.Ordinal) ? clock[..^4] : clock;
}
