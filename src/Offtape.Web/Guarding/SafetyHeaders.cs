using Microsoft.AspNetCore.Http;

namespace Offtape.Web.Guarding;

/// <summary>What every answer says to the browser: load nothing from elsewhere, run no script but ours, keep nothing, tell nobody.</summary>
internal sealed class SafetyHeaders(RequestDelegate next, Addresses addresses)
{
    // Older browsers do not count a WebSocket to the same place as 'self'; a policy cannot name an IPv6 address.
    private readonly string _policy =
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; media-src 'self' blob:; "
        + $"worker-src 'self'; connect-src 'self' ws://127.0.0.1:{addresses.Port} ws://localhost:{addresses.Port}; "
        + "form-action 'self'; base-uri 'self'; object-src 'none'; frame-ancestors 'none'";

    public Task InvokeAsync(HttpContext context)
    {
        var headers = context.Response.Headers;
        headers.ContentSecurityPolicy = _policy;
        headers.XContentTypeOptions = "nosniff";
        headers["Cross-Origin-Resource-Policy"] = "same-origin";
        headers["Cross-Origin-Opener-Policy"] = "same-origin";
        headers["Referrer-Policy"] = "no-referrer";
        headers["Permissions-Policy"] = "camera=(), geolocation=(), microphone=(), payment=(), usb=()";
        headers.XFrameOptions = "DENY";
        headers.CacheControl = "no-store";
        return next(context);
    }
}
