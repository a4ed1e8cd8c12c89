using System.Text.Json.Serialization;
using Microsoft.AspNetCore.Antiforgery;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.Features;
using Microsoft.AspNetCore.Routing;
using Offtape.Base;
using Offtape.Web.Benching;
using Offtape.Web.Printing;

namespace Offtape.Web.Uploads;

/// <summary>The two requests by which a file comes in: one asks for room, the other brings the bytes.</summary>
internal static class UploadEndpoints
{
    private const string NewPass = "new";
    private const long MostAskBytes = 1 << 20;

    public static void MapUploads(this IEndpointRouteBuilder app)
    {
        app.MapPost("/uploads", Ask);
        app.MapPut("/uploads/{id}", Receive);
    }

    private static async Task Ask(
        HttpContext context,
        IAntiforgery antiforgery,
        UploadDesk desk,
        PassBook passes,
        BenchBook benches,
        WebOptions options
    )
    {
        if (!await IsOwnForm(context, antiforgery))
            return;
        context.Features.Get<IHttpMaxRequestBodySizeFeature>()!.MaxRequestBodySize = MostAskBytes;
        AskedFor? asked;
        try
        {
            asked = await context.Request.ReadFromJsonAsync(UploadJson.Default.AskedFor, context.RequestAborted);
        }
        catch (Exception error) when (error is System.Text.Json.JsonException or InvalidOperationException)
        {
            asked = null;
        }
        if (asked is not { Files: { Count: > 0 } files } || files.Any(f => f?.Name is null))
        {
            await Guarding.Refusals.Write(context, StatusCodes.Status400BadRequest, "Name the files and their sizes.");
            return;
        }
        if (files.Count > options.MostFilesAtOnce)
        {
            await Guarding.Refusals.Write(
                context,
                StatusCodes.Status413PayloadTooLarge,
                $"These are {files.Count} files. Drop at most {options.MostFilesAtOnce} at once."
            );
            return;
        }
        var place = asked.Place == "capture" ? UploadPlace.Capture : UploadPlace.Source;
        try
        {
            if (asked.Place == "bench")
            {
                await AskForBench(context, desk, benches, asked.Pass, files);
                return;
            }
            var pass = asked.Pass == NewPass && place == UploadPlace.Source ? passes.Begin() : passes.Find(asked.Pass);
            if (pass is null)
            {
                await Guarding.Refusals.Write(context, StatusCodes.Status404NotFound, "There is no such pass.");
                return;
            }
            var uploads = files.Select(f => desk.Ask(pass, place, f.Name!, f.Size)).ToList();
            var answer = new Answer(
                [.. uploads.Select(u => u.Stand == UploadStand.Refused ? null : u.Id)],
                $"/{(place == UploadPlace.Source ? "pass" : "return")}/{pass.Plan.Id}"
            );
            await context.Response.WriteAsJsonAsync(answer, UploadJson.Default.Answer, cancellationToken: context.RequestAborted);
        }
        catch (Fault fault)
        {
            await Guarding.Refusals.Write(context, StatusCodes.Status507InsufficientStorage, fault.Message);
        }
    }

    private static async Task AskForBench(
        HttpContext context,
        UploadDesk desk,
        BenchBook benches,
        string? id,
        IReadOnlyList<AskedFile> files
    )
    {
        if (benches.Find(id) is not { } sitting)
        {
            await Guarding.Refusals.Write(context, StatusCodes.Status404NotFound, "There is no such bench.");
            return;
        }
        var uploads = files.Select(f => desk.Ask(sitting, f.Name!, f.Size)).ToList();
        var answer = new Answer([.. uploads.Select(u => u.Stand == UploadStand.Refused ? null : u.Id)], $"/bench/{sitting.Plan.Id}");
        await context.Response.WriteAsJsonAsync(answer, UploadJson.Default.Answer, cancellationToken: context.RequestAborted);
    }

    private static async Task Receive(string id, HttpContext context, IAntiforgery antiforgery, UploadDesk desk)
    {
        if (!await IsOwnForm(context, antiforgery))
            return;
        if (desk.Find(id) is not { Stand: UploadStand.Waiting } asked)
        {
            await Guarding.Refusals.Write(context, StatusCodes.Status404NotFound, "Nobody asked for room for this file.");
            return;
        }
        if (context.Request.ContentLength is { } length && length != asked.ByteCount)
        {
            await Guarding.Refusals.Write(context, StatusCodes.Status413PayloadTooLarge, "The file is not as large as was announced.");
            return;
        }
        // One byte more than announced may be read, so that too many are noticed.
        context.Features.Get<IHttpMaxRequestBodySizeFeature>()!.MaxRequestBodySize = asked.ByteCount + 1;
        var upload = await desk.Receive(id, context.Request.Body, context.RequestAborted);
        if (upload.Stand != UploadStand.Done)
            await Guarding.Refusals.Write(context, StatusCodes.Status422UnprocessableEntity, upload.Words);
        else
            context.Response.StatusCode = StatusCodes.Status204NoContent;
    }

    private static async Task<bool> IsOwnForm(HttpContext context, IAntiforgery antiforgery)
    {
        if (await antiforgery.IsRequestValidAsync(context))
            return true;
        await Guarding.Refusals.Write(context, StatusCodes.Status400BadRequest, "This page is out of date. Load it again.");
        return false;
    }

    internal sealed record AskedFor(string? Pass, string? Place, IReadOnlyList<AskedFile>? Files);

    internal sealed record AskedFile(string? Name, long Size);

    /// <param name="Ids">One for each file, in their order; null where it is refused.</param>
    /// <param name="Go">The page that shows them.</param>
    internal sealed record Answer(IReadOnlyList<string?> Ids, string Go);
}

[JsonSourceGenerationOptions(PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase)]
[JsonSerializable(typeof(UploadEndpoints.AskedFor))]
[JsonSerializable(typeof(UploadEndpoints.Answer))]
internal sealed partial class UploadJson : JsonSerializerContext;
