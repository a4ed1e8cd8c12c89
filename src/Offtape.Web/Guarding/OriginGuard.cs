using Microsoft.AspNetCore.Http;
using Microsoft.Net.Http.Headers;

namespace Offtape.Web.Guarding;

/// <summary>
/// Requests that change something, and every WebSocket, come from this server's own pages or from no page at all (a program of the user's,
/// which then needs the session). The origins are the server's own list; comparing them with the request's Host would be no check.
/// </summary>
internal sealed class OriginGuard(RequestDelegate next, Addresses addresses)
{
    public Task InvokeAsync(HttpContext context) =>
        IsAllowed(context)
            ? next(context)
            : Refusals.Write(context, StatusCodes.Status403Forbidden, "Offtape takes this only from its own pages.");

    private bool IsAllowed(HttpContext context)
    {
        var request = context.Request;
        var origins = request.Headers[HeaderNames.Origin];
        var site = request.Headers["Sec-Fetch-Site"].ToString();
        var isOwnSite = site is "" or "same-origin" or "none";
        if (IsUpgrade(request))
            return isOwnSite && origins.Count == 1 && addresses.IsOrigin(origins[0]);
        if (origins.Count > 1)
            return false;
        if (!HttpMethods.IsGet(request.Method) && !HttpMethods.IsHead(request.Method))
            return isOwnSite && (origins.Count == 0 || addresses.IsOrigin(origins[0]));
        // What is only read may be opened from anywhere as a page of its own (the session decides what is seen), but not drawn into another.
        return isOwnSite || request.Headers["Sec-Fetch-Mode"] == "navigate" && request.Headers["Sec-Fetch-Dest"] == "document";
    }

    private static bool IsUpgrade(HttpRequest request) =>
        request.Headers.ContainsKey(HeaderNames.Upgrade)
        || request.Headers.ContainsKey("Sec-WebSocket-Key")
        || HttpMethods.IsConnect(request.Method);
}
