using System.Text.Json.Serialization;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;
using Offtape.Base;
using Offtape.Web.Guarding;
using Offtape.Web.Waves;

namespace Offtape.Web.Listening;

/// <summary>What is heard: facts of a set, and its variants in pieces of frames, as 32-bit floats in little-endian order.</summary>
internal static class HearEndpoints
{
    private const int MostFrames = 1 << 17;

    public static void MapHearing(this IEndpointRouteBuilder app)
    {
        app.MapGet("/hear/{id}", About);
        app.MapGet("/hear/{id}/map", Map);
        app.MapGet("/hear/{id}/{variant}", Frames);
        app.MapGet("/blind/{id}/{trial:int}/{letter}", BlindFrames);
    }

    private static async Task About(string id, HttpContext context, HearingDesk desk)
    {
        if (desk.Find(id) is not { } set)
        {
            await Gone(context);
            return;
        }
        try
        {
            var format = desk.Format(set);
            var gains = desk.Gains(set, format);
            var fitting = desk.Fit(set, format);
            var fits = fitting.IsCompletedSuccessfully ? await fitting : null;
            var variants = set
                .Files.Select(f => new VariantFacts(f.Key, WaveBook.Stamp(f.Value) is not null, gains?.GetValueOrDefault(f.Key)))
                .Append(new VariantFacts(HeardSet.Added, fits is not null, gains?.GetValueOrDefault(HeardSet.Added)))
                .Append(new VariantFacts(HeardSet.ToneAside, fits is not null, gains?.GetValueOrDefault(HeardSet.ToneAside)))
                .ToList();
            await context.Response.WriteAsJsonAsync(
                new SetFacts(
                    HearingDesk.State(set),
                    format.SampleRateHz,
                    format.ChannelCount,
                    format.FrameCount,
                    gains is not null && fitting.IsCompleted,
                    variants,
                    set.Pair is null || !fitting.IsCompleted ? "" : AddedWords.Say(fits, format.SampleRateHz),
                    set.Pair is null || !fitting.IsCompleted ? "" : AddedWords.SayToneAside(fits)
                ),
                HearJson.Default.SetFacts,
                cancellationToken: context.RequestAborted
            );
        }
        catch (Fault fault)
        {
            await Refusals.Write(context, StatusCodes.Status404NotFound, fault.Message);
        }
    }

    private static Task Map(string id, HttpContext context, HearingDesk desk) =>
        desk.Find(id)?.Map is { } map
            ? context.Response.WriteAsJsonAsync(map, HearJson.Default.HeardMap, cancellationToken: context.RequestAborted)
            : Gone(context);

    private static async Task Frames(
        string id,
        string variant,
        long? from,
        int? count,
        string? state,
        HttpContext context,
        HearingDesk desk
    )
    {
        if (desk.Find(id) is not { } set || (set.FileOf(variant) is { } file && !File.Exists(file)))
        {
            await Gone(context);
            return;
        }
        if (state is not null && state != HearingDesk.State(set))
        {
            await Refusals.Write(context, StatusCodes.Status409Conflict, "These files have changed. Load the page again.");
            return;
        }
        await Write(context, desk, set, variant, from, count, gain: 1);
    }

    private static async Task BlindFrames(
        string id,
        int trial,
        string letter,
        long? from,
        int? count,
        HttpContext context,
        HearingDesk desk,
        BlindDesk blind
    )
    {
        if (blind.Find(id) is not { } run || run.VariantOf(letter, trial) is not { } variant)
        {
            await Gone(context);
            return;
        }
        await Write(context, desk, run.Set, variant, from, count, run.Gains.GetValueOrDefault(variant, 1));
    }

    private static async Task Write(
        HttpContext context,
        HearingDesk desk,
        HeardSet set,
        string variant,
        long? from,
        int? count,
        double gain
    )
    {
        if (from is not >= 0 || count is not (> 0 and <= MostFrames))
        {
            await Refusals.Write(context, StatusCodes.Status400BadRequest, "There are no such frames.");
            return;
        }
        try
        {
            var format = desk.Format(set);
            var frames = new float[count.Value * format.ChannelCount];
            if (!await desk.TryRead(set, variant, format, from.Value, frames))
            {
                await Gone(context);
                return;
            }
            if (gain != 1)
                foreach (ref var sample in frames.AsSpan())
                    sample = (float)(sample * gain);
            await WaveEndpoints.WriteFloats(context, frames);
        }
        catch (Exception error) when (error is Fault or IOException or UnauthorizedAccessException)
        {
            await Gone(context);
        }
    }

    private static Task Gone(HttpContext context) =>
        Refusals.Write(context, StatusCodes.Status404NotFound, "This sound is not there any more. Load the page again.");

    /// <param name="State">Names this state of the files.</param>
    /// <param name="SampleRateHz">The rate in which all variants are heard.</param>
    /// <param name="ChannelCount">1 or 2.</param>
    /// <param name="FrameCount">Of the longest variant.</param>
    /// <param name="IsMeasured">Whether the gains, and what is matched for the difference, are known yet.</param>
    /// <param name="Variants">What can be switched between.</param>
    /// <param name="Added">What was matched for the difference, in words.</param>
    /// <param name="Aside">The same for the difference with the tone matched as well.</param>
    internal sealed record SetFacts(
        string State,
        int SampleRateHz,
        int ChannelCount,
        long FrameCount,
        bool IsMeasured,
        IReadOnlyList<VariantFacts> Variants,
        string Added,
        string Aside
    );

    /// <param name="Name">Of the variant.</param>
    /// <param name="IsThere">Whether it can be heard.</param>
    /// <param name="GainDb">By which it is as loud as the others; null until measured.</param>
    internal sealed record VariantFacts(string Name, bool IsThere, double? GainDb);
}

[JsonSourceGenerationOptions(PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase)]
[JsonSerializable(typeof(HearEndpoints.SetFacts))]
[JsonSerializable(typeof(HeardMap))]
[JsonSerializable(typeof(HearSpec))]
internal sealed partial class HearJson : JsonSerializerContext;
