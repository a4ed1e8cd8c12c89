using Offtape.Base;

namespace Offtape.Studio;

/// <summary>What the log knows of a file, as a sentence.</summary>
public static class OriginWords
{
    public static string Of(FileOrigin origin)
    {
        var name = Path.GetFileName(origin.File);
        if (origin.KnownBy is null)
            return origin.PassIdInFile is { } passId
                ? $"{name} says that it is a take of pass {passId}, and that pass is not in this log. Look into another studio, or bring its folder here and run log rebuild."
                : $"{name}: the log does not know its content, and the file says nothing of a pass.";
        var what = origin.Kind switch
        {
            "take" => $"a take of {origin.Source}{(origin.Retiming is { } retiming ? $" ({retiming})" : "")}",
            "capture" => "a capture",
            "send" => "a send",
            "pass-sheet" => "a pass sheet",
            "return-sheet" => "the sheet of a return",
            "source" => "a source",
            _ => origin.Bench is { } bench ? $"part of the bench of {bench}" : "a file of the log",
        };
        var how =
            origin.KnownBy == "content" ? $"its content is that of {origin.LoggedAs}" : "it says so itself; its content has changed since";
        var cut = origin.Capture is { } capture
            ? $" It was cut from {capture}{(origin.CaptureStartSeconds is { } at ? $" at {Words.Clock(at)}" : "")}."
            : "";
        return $"{name} is {what}: {how}.{cut}";
    }
}
