using System.Text.Json;
using System.Text.Json.Serialization;

namespace Offtape.Bench;

/// <summary>The rules of diagnosis as data: <c>rules.json</c>, kept in the program.</summary>
internal sealed record RuleBook
{
    private const string ResourceName = "bench-rules.json";

    public required int FormatVersion { get; init; }

    /// <summary>What to beware of, by the word that steps name it with.</summary>
    public required IReadOnlyDictionary<string, string> Cautions { get; init; }

    public required IReadOnlyList<DiagnosisRule> Rules { get; init; }

    internal static RuleBook Own { get; } = Load();

    internal static RuleBook Parse(ReadOnlySpan<byte> utf8) =>
        JsonSerializer.Deserialize(utf8, RuleBookContext.Default.RuleBook) ?? throw new JsonException("There are no rules.");

    private static RuleBook Load()
    {
        using var stream = typeof(RuleBook).Assembly.GetManifestResourceStream(ResourceName)!;
        using var memory = new MemoryStream();
        stream.CopyTo(memory);
        return Parse(memory.ToArray());
    }
}

/// <summary>One rule: what readings it takes, what it may mean, why, and what to try.</summary>
internal sealed record DiagnosisRule
{
    public required string Id { get; init; }

    /// <summary>Rules of one group are rivals: together they are never surer than certain.</summary>
    public required string Group { get; init; }

    /// <summary>What it may mean, as the end of "it may be …".</summary>
    public required string Finding { get; init; }

    /// <summary>All of these must hold, beyond their uncertainty.</summary>
    public IReadOnlyList<RuleTest> All
    {
        // What is left out of the JSON is null.
        get => field ?? [];
        init;
    }

    /// <summary>Of these at least one, where there are any.</summary>
    public IReadOnlyList<RuleTest> Any
    {
        // What is left out of the JSON is null.
        get => field ?? [];
        init;
    }

    /// <summary>None of these may hold.</summary>
    public IReadOnlyList<RuleTest> None
    {
        // What is left out of the JSON is null.
        get => field ?? [];
        init;
    }

    /// <summary>How likely it is where nothing more is known, above 0 and below 1. Common practice, no source.</summary>
    public required double Likely { get; init; }

    public IReadOnlyList<RuleEvidence> Evidence
    {
        // What is left out of the JSON is null.
        get => field ?? [];
        init;
    }

    public required string Reason { get; init; }

    public required IReadOnlyList<RuleStep> Try { get; init; }

    /// <summary>Where it is written, or "common practice, no source".</summary>
    public required string Source { get; init; }
}

/// <summary>Something that makes a rule likelier, or less likely.</summary>
internal sealed record RuleEvidence
{
    public required IReadOnlyList<RuleTest> All { get; init; }

    /// <summary>Its odds are multiplied by this: above 1 speaks for it, below 1 against it.</summary>
    public required double Times { get; init; }

    public required string Says { get; init; }
}

/// <summary>One step of what to try.</summary>
internal sealed record RuleStep
{
    public required string Do { get; init; }

    /// <summary>How deep it reaches: 1 look, listen, or another tape or lead; 2 clean; 3 turn or touch something; 4 a repair person's.</summary>
    public required int Reach { get; init; }

    /// <summary>A word of the book's cautions; null where none is needed.</summary>
    public string? Caution { get; init; }
}

/// <summary>A condition on readings of one quantity, or on a notice. Exactly one limit is set.</summary>
internal sealed record RuleTest
{
    public string? Quantity { get; init; }

    /// <summary>What the reading's condition contains; null for any.</summary>
    public string? At { get; init; }

    /// <summary>Any channel's figure lies below this, its uncertainty left aside.</summary>
    public double? Below { get; init; }

    public double? Above { get; init; }

    /// <summary>The figure's size, whatever its sign.</summary>
    public double? SizeAbove { get; init; }

    public double? SizeBelow { get; init; }

    /// <summary>Two channels lie farther apart than this.</summary>
    public double? ApartAbove { get; init; }

    /// <summary>One channel's figure is more than so many times another's.</summary>
    public double? RatioAbove { get; init; }

    /// <summary>
    /// How many uncertainties a figure must lie beyond its limit, 1 where it is null. Less than 1 only for counts, whose uncertainty reaches farther up than down.
    /// </summary>
    public double? Margin { get; init; }

    /// <summary>Code of a notice, instead of a reading.</summary>
    public string? Notice { get; init; }

    /// <summary>What the notice's text contains; null for any.</summary>
    public string? Says { get; init; }
}

[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
    RespectNullableAnnotations = true
)]
[JsonSerializable(typeof(RuleBook))]
internal sealed partial class RuleBookContext : JsonSerializerContext;
