using Microsoft.AspNetCore.Http;
using Microsoft.Net.Http.Headers;

namespace Offtape.Web.Guarding;

/// <summary>
/// In front of everything: a request that does not name this server by one of its own names is refused. A name of an attacker's that is
/// made to point at this machine (DNS rebinding) ends here.
/// </summary>
internal sealed class HostGuard(RequestDelegate next, Addresses addresses)
{
    public Task InvokeAsync(HttpContext context)
    {
        var hosts = context.Request.Headers[HeaderNames.Host];
        return hosts.Count == 1 && addresses.IsHost(hosts[0])
            ? next(context)
            : Refusals.Write(context, StatusCodes.Status403Forbidden, "Offtape answers only to its own address on this machine.");
    }
}
