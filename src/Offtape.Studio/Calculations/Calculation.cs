namespace Offtape.Studio;

/// <summary>One figure of tape that can be worked out: what it may be told, and how the answer follows.</summary>
/// <param name="Name">One word, as the command has it.</param>
/// <param name="Words">What it says, in one sentence.</param>
/// <param name="Example">Its options as they could be typed.</param>
/// <param name="Fields">What it may be told.</param>
/// <param name="Answer">Works it out; a fault of usage where the question has no one answer.</param>
public sealed record Calculation(
    string Name,
    string Words,
    string Example,
    IReadOnlyList<AskedField> Fields,
    Func<Asked, Calculated> Answer
)
{
    /// <summary>What a page calls it.</summary>
    public required string Title { get; init; }

    /// <summary>What has to be filled in, for a page; empty where the labels say it.</summary>
    public string Needs { get; init; } = "";
}
