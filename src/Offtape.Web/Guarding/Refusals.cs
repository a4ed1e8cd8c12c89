using Microsoft.AspNetCore.Http;

namespace Offtape.Web.Guarding;

/// <summary>How a request is turned away: a status and one plain sentence, never a word of the request itself.</summary>
internal static class Refusals
{
    public static async Task Write(HttpContext context, int status, string words)
    {
        context.Response.StatusCode = status;
        context.Response.ContentType = "text/plain; charset=utf-8";
        // Content that follows a refused request is not read as the next one.
        if (context.Request.ContentLength is > 0)
            context.Response.Headers.Connection = "close";
        await context.Response.WriteAsync(words + "\n");
    }
}
