using System.Text;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;
using Microsoft.Net.Http.Headers;
using Offtape.Base;
using Offtape.Report;
using Offtape.Studio;
using Offtape.Web.Folders;
using Offtape.Web.Guarding;

namespace Offtape.Web.Taping;

/// <summary>The card of a tape's box, as PDF or SVG, made from what the shelf says now.</summary>
internal static class BoxEndpoints
{
    public static void MapBoxes(this IEndpointRouteBuilder app)
    {
        app.MapGet(
            "/sheet/box.pdf",
            (string? name, HttpContext context, TapeDesk desk) =>
                Send(context, desk, name, ".pdf", "application/pdf", c => c.ToPdf(ReportFonts.Find()))
        );
        app.MapGet(
            "/sheet/box.svg",
            (string? name, HttpContext context, TapeDesk desk) =>
                Send(context, desk, name, ".svg", "image/svg+xml", c => Encoding.UTF8.GetBytes(c.ToSvg()))
        );
    }

    private static async Task Send(
        HttpContext context,
        TapeDesk desk,
        string? name,
        string extension,
        string type,
        Func<BoxCard, byte[]> make
    )
    {
        try
        {
            // Drawing takes a moment: not on the thread that answers.
            var bytes = await Task.Run(
                () => desk.Find(name) is { } tape ? make(BoxSheet.Of(tape, tape.UsualSpeed)) : null,
                context.RequestAborted
            );
            if (bytes is null)
            {
                await Refusals.Write(context, StatusCodes.Status404NotFound, "There is no such tape on the shelf.");
                return;
            }
            var disposition = new ContentDispositionHeaderValue("attachment");
            disposition.SetHttpFileName($"{SafeName.ForFolder(name!)} box{extension}");
            context.Response.Headers.ContentDisposition = disposition.ToString();
            context.Response.ContentType = type;
            await context.Response.Body.WriteAsync(bytes, context.RequestAborted);
        }
        catch (Fault fault)
        {
            await Refusals.Write(context, StatusCodes.Status422UnprocessableEntity, fault.Message);
        }
    }
}
