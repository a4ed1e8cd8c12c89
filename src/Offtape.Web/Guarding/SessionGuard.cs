using System.Net;
using Microsoft.AspNetCore.Http;

namespace Offtape.Web.Guarding;

/// <summary>
/// Lets in who holds a session. The launch address gives one, once, and leaves the address bar at once. Another user of this machine reaches
/// its loopback address too: the session, not the address, keeps them out.
/// </summary>
internal sealed class SessionGuard(RequestDelegate next, LaunchToken launch, Sessions sessions, LaunchFile file)
{
    public const string LaunchPath = "/open";
    public const string LaunchKey = "token";

    public Task InvokeAsync(HttpContext context)
    {
        if (sessions.Knows(context.Request.Cookies[sessions.CookieName]))
            return context.Request.Path == LaunchPath ? Enter(context) : next(context);
        if (context.Request.Path != LaunchPath || !HttpMethods.IsGet(context.Request.Method))
            return Locked(context);
        if (!launch.Use(context.Request.Query[LaunchKey]))
            return Locked(context);
        file.Delete();
        context.Response.Cookies.Append(
            sessions.CookieName,
            sessions.Begin(),
            new CookieOptions
            {
                HttpOnly = true,
                SameSite = SameSiteMode.Strict,
                Path = "/",
                IsEssential = true,
            }
        );
        return Enter(context);
    }

    // A page that leads on, not a 303: the browser came from a file, and would not send a strict cookie along the same way.
    private static Task Enter(HttpContext context) =>
        Page(context, StatusCodes.Status200OK, "<meta http-equiv=\"refresh\" content=\"0;url=/\">", "Opening Offtape", "One moment.");

    private static Task Locked(HttpContext context) =>
        Page(
            context,
            StatusCodes.Status401Unauthorized,
            "",
            "This is Offtape, and it does not know this browser",
            "Type offtape open in a terminal: that opens a browser which may come in. The address it uses is good for one time only."
        );

    private static async Task Page(HttpContext context, int status, string head, string title, string words)
    {
        context.Response.StatusCode = status;
        if (context.Request.ContentLength is > 0)
            context.Response.Headers.Connection = "close";
        context.Response.ContentType = "text/html; charset=utf-8";
        await context.Response.WriteAsync(
            $"<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\">{head}"
                + "<link rel=\"icon\" href=\"data:,\">"
                + $"<title>{WebUtility.HtmlEncode(title)}</title><link rel=\"stylesheet\" href=\"{Serving.Assets.StylePath}\"></head>"
                + $"<body><main class=\"page\"><h1>{WebUtility.HtmlEncode(title)}</h1><p>{WebUtility.HtmlEncode(words)}</p></main></body></html>\n"
        );
    }
}
