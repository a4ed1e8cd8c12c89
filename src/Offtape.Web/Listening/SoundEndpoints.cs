using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;
using Offtape.Web.Folders;

namespace Offtape.Web.Listening;

/// <summary>Audio of the studio, as it is, by an identifier that a page has shown; the browser may ask for parts of it.</summary>
internal static class SoundEndpoints
{
    public static void MapSounds(this IEndpointRouteBuilder app) =>
        app.MapMethods(
            "/sound/{id}",
            [HttpMethods.Get, HttpMethods.Head],
            (string id, FileShelf shelf, string? save) =>
                shelf.PathOf(id) is { } path
                    ? Results.File(path, TypeOf(path), save is null ? null : Path.GetFileName(path), enableRangeProcessing: true)
                    : Results.NotFound()
        );

    private static string TypeOf(string path) =>
        Path.GetExtension(path).ToLowerInvariant() switch
        {
            ".wav" or ".bwf" or ".rf64" or ".w64" => "audio/wav",
            ".aif" or ".aiff" or ".aifc" => "audio/aiff",
            ".flac" => "audio/flac",
            ".mp3" => "audio/mpeg",
            ".ogg" or ".oga" or ".opus" => "audio/ogg",
            ".json" => "application/json",
            _ => "application/octet-stream",
        };
}
