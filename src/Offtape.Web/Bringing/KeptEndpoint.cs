using System.IO.Compression;
using System.Text;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.Features;
using Microsoft.AspNetCore.Routing;
using Offtape.Base;
using Offtape.Report;
using Offtape.Web.Printing;

namespace Offtape.Web.Bringing;

/// <summary>Everything that is kept of a pass, in one retiming, as one file to save: the takes as they are, and a list of them.</summary>
internal static class KeptEndpoint
{
    public const string ListName = "takes.txt";

    public static void MapKept(this IEndpointRouteBuilder app) => app.MapGet("/kept/{id}/{retiming}", Save);

    private static async Task Save(string id, string retiming, HttpContext context, PassBook passes, ReturnDesk returns)
    {
        if (passes.Find(id) is not { } pass || returns.View(pass) is not { } view || Retimings.Find(retiming) is null)
        {
            await Guarding.Refusals.Write(context, StatusCodes.Status404NotFound, "There is no such pass, or nothing came back of it yet.");
            return;
        }
        var kept = view.Kept.Select(t => (Take: t, File: t.FileOf(retiming, pass))).Where(k => k.File is not null).ToList();
        if (kept.Count == 0)
        {
            await Guarding.Refusals.Write(context, StatusCodes.Status404NotFound, "No take is kept yet. Mark those you want with keep.");
            return;
        }
        var disposition = new Microsoft.Net.Http.Headers.ContentDispositionHeaderValue("attachment");
        disposition.SetHttpFileName($"{pass.FolderName} {retiming}.zip");
        context.Response.Headers.ContentDisposition = disposition.ToString();
        context.Response.ContentType = "application/zip";
        var cancellation = context.RequestAborted;
        // An entry of an archive is closed with a few bytes that are not written asynchronously.
        context.Features.Get<IHttpBodyControlFeature>()!.AllowSynchronousIO = true;
        await using var zip = await ZipArchive.CreateAsync(context.Response.Body, ZipArchiveMode.Create, true, null, cancellation);
        var names = new HashSet<string>(StringComparer.OrdinalIgnoreCase) { ListName };
        var list = new StringBuilder($"{pass.Plan.Name}, {retiming}\n\n");
        foreach (var (take, file) in kept)
        {
            var name = Path.GetFileName(file!);
            for (var i = 2; !names.Add(name); i++)
                name = $"{Path.GetFileNameWithoutExtension(file!)} ({i}).wav";
            list.Append($"{name}\t{Line(take)}\n");
            await Add(zip, name, file!, cancellation);
        }
        await using var entry = await zip.CreateEntry(ListName, CompressionLevel.Fastest).OpenAsync(cancellation);
        await entry.WriteAsync(Encoding.UTF8.GetBytes(list.ToString()), cancellation);
    }

    private static async Task Add(ZipArchive zip, string name, string file, CancellationToken cancellation)
    {
        // Audio shrinks little, and waiting for that is no gain.
        await using var entry = await zip.CreateEntry(name, CompressionLevel.NoCompression).OpenAsync(cancellation);
        await using var take = new FileStream(file, FileMode.Open, FileAccess.Read, FileShare.Read, 1 << 17, FileOptions.Asynchronous);
        await take.CopyToAsync(entry, 1 << 17, cancellation);
    }

    private static string Line(TakeView take)
    {
        var parts = new List<string> { $"from {take.CaptureName}" };
        if (take.Take.CaptureStartSeconds is { } start)
            parts.Add($"at {Quantity.Clock(start, 3)}");
        if (take.Take.SpeedRatio is { } ratio)
            parts.Add($"speed {Quantity.Signed(Conversions.RatioToPercent(ratio), 2, "%")}");
        if (take.Take.WobblePeakCents is { } cents)
            parts.Add($"wobble {Quantity.Of(cents, 0, "cents")}");
        if (take.Take.GainDb is { } gain)
            parts.Add($"level {Quantity.Signed(gain, 1, "dB")}");
        return string.Join(", ", parts);
    }
}
