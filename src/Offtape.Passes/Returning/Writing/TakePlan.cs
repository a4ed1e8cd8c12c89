using Offtape.Passes.Finding;
using Offtape.Passes.Following;
using Offtape.Passes.Mapping;

namespace Offtape.Passes.Writing;

/// <summary>All that is known of one take before it is written.</summary>
internal sealed record TakePlan
{
    internal required SourceSound Source { get; init; }

    /// <summary>The source's file name, or the name in the sheet.</summary>
    internal required string SourceName { get; init; }

    internal required FollowedTake Take { get; init; }

    /// <summary>What a hand did to the tape within it.</summary>
    internal required TapeHandling Handling { get; init; }

    internal required ChannelMatches Channels { get; init; }

    /// <summary>Of the sheet it was found by; null without one.</summary>
    internal string? PassId { get; init; }

    /// <summary>SHA-256 of the source's file; null where no sheet says it.</summary>
    internal string? SourceSha256 { get; init; }

    internal required int PassNumber { get; init; }

    /// <summary>The gain the send gave the source; undone in the take. 0 without a sheet.</summary>
    internal double SendGainDb { get; init; }

    /// <summary>What bleeds of the run's stripe into the take's channels.</summary>
    internal IReadOnlyList<StripeBleed> Bleeds { get; init; } = [];

    /// <summary>The worst of them against the take's sound; null where none is heard.</summary>
    internal double? StripeBleedDb => Bleeds.Select(b => b.Dbfs - b.ProgrammeDbfs).Max();

    internal double? StripeBleedLeftDb => Bleeds.Count == 0 ? null : Bleeds.Max(b => b.LeftDbfs - b.ProgrammeDbfs);

    /// <summary>What the pass intended: source seconds per capture second.</summary>
    internal double IntendedSpeed { get; init; } = 1;
}
