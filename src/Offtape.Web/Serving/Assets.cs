using System.Collections.Frozen;
using Microsoft.AspNetCore.Http;

namespace Offtape.Web.Serving;

/// <summary>Style sheet and scripts, embedded in the program: they are there wherever it runs from.</summary>
internal sealed class Assets
{
    public const string StylePath = "/offtape.css";
    public const string ScriptPath = "/offtape.js";
    public const string BlazorPath = "/_framework/blazor.web.js";

    private readonly FrozenDictionary<string, Asset> _byPath;

    public Assets()
    {
        var found = new Dictionary<string, Asset>();
        foreach (
            var name in typeof(Assets).Assembly.GetManifestResourceNames().Where(n => n.StartsWith("asset/", StringComparison.Ordinal))
        )
        {
            var file = name["asset/".Length..];
            found[file == "blazor.web.js" ? BlazorPath : "/" + file] = Asset.Load(name);
        }
        _byPath = found.ToFrozenDictionary();
    }

    public IEnumerable<string> Paths => _byPath.Keys;

    public async Task Serve(HttpContext context)
    {
        if (!_byPath.TryGetValue(context.Request.Path.Value ?? "", out var asset))
        {
            context.Response.StatusCode = StatusCodes.Status404NotFound;
            return;
        }
        var response = context.Response;
        response.ContentType = asset.ContentType;
        response.Headers.ETag = asset.Tag;
        // Not data: the browser may keep it as long as it asks whether it is still the same.
        response.Headers.CacheControl = "no-cache";
        if (context.Request.Headers.IfNoneMatch == asset.Tag)
        {
            response.StatusCode = StatusCodes.Status304NotModified;
            return;
        }
        response.ContentLength = asset.Bytes.Length;
        if (!HttpMethods.IsHead(context.Request.Method))
            await response.Body.WriteAsync(asset.Bytes, context.RequestAborted);
    }

    private sealed record Asset(string ContentType, byte[] Bytes, string Tag)
    {
        public static Asset Load(string name)
        {
            using var stream = typeof(Assets).Assembly.GetManifestResourceStream(name)!;
            var bytes = new byte[stream.Length];
            stream.ReadExactly(bytes);
            var tag = Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(bytes).AsSpan(0, 12));
            return new Asset(TypeOf(name), bytes, $"\"{tag}\"");
        }

        private static string TypeOf(string name) =>
            Path.GetExtension(name) switch
            {
                ".css" => "text/css; charset=utf-8",
                ".js" => "text/javascript; charset=utf-8",
                ".svg" => "image/svg+xml",
                _ => "application/octet-stream",
            };
    }
}
