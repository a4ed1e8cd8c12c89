using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;
using Offtape.Base;
using Offtape.Report;
using Offtape.Studio;
using Offtape.Web.Guarding;

namespace Offtape.Web.Kitting;

/// <summary>The pages to print of Kit and Patch, as PDF, made from what is kept.</summary>
internal static class SheetEndpoints
{
    public static void MapSheets(this IEndpointRouteBuilder app)
    {
        app.MapGet("/sheet/patch.pdf", (HttpContext context, KitBook book) => Send(context, "patch.pdf", () => Patch(book)));
        app.MapGet(
            "/sheet/viewing/{row:int}",
            (int row, HttpContext context, KitBook book) => Send(context, "viewing.pdf", () => Viewing(book, row))
        );
    }

    private static Sheet? Patch(KitBook book) => book.HasRig ? PatchSheet.Of(PatchPlanner.Plan(book.Rig().ToRig())) : null;

    private static Sheet? Viewing(KitBook book, int row)
    {
        var request = book.Request().ToRequest();
        return book.Offers(request.Parts, []).FirstOrDefault(o => o.Row == row && o.IsMachine) is { } machine
            ? ViewingSheet.Of(machine, request)
            : null;
    }

    private static async Task Send(HttpContext context, string name, Func<Sheet?> make)
    {
        try
        {
            // Joining takes a moment: not on the thread that answers.
            if (await Task.Run(make, context.RequestAborted) is not { } sheet)
            {
                await Refusals.Write(context, StatusCodes.Status404NotFound, "There is no such sheet. Go back and make it anew.");
                return;
            }
            var disposition = new Microsoft.Net.Http.Headers.ContentDispositionHeaderValue("attachment");
            disposition.SetHttpFileName(name);
            context.Response.Headers.ContentDisposition = disposition.ToString();
            context.Response.ContentType = "application/pdf";
            await context.Response.Body.WriteAsync(sheet.ToPdf(ReportFonts.Find()), context.RequestAborted);
        }
        catch (Fault fault)
        {
            await Refusals.Write(context, StatusCodes.Status422UnprocessableEntity, fault.Message);
        }
    }
}
