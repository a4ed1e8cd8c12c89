using System.Runtime.InteropServices;
using System.Text.Json.Serialization;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;
using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Web.Folders;
using Offtape.Web.Guarding;

namespace Offtape.Web.Waves;

/// <summary>
/// What waveforms are drawn from: facts of a file, pieces of its peaks, and single samples; numbers as 32-bit floats in little-endian order,
/// the channels of a frame one after the other. Who draws names the state of the file that it began with.
/// </summary>
internal static class WaveEndpoints
{
    private const int MostBins = 1 << 13;
    private const int MostSamples = 1 << 20;

    public static void MapWaves(this IEndpointRouteBuilder app)
    {
        app.MapGet("/wave/{id}", About);
        app.MapGet("/wave/{id}/peaks/{level:int}", Peaks);
        app.MapGet("/wave/{id}/frames", Frames);
    }

    private static async Task About(string id, HttpContext context, FileShelf shelf, WaveBook book)
    {
        if (await Opened(id, null, context, shelf, book) is not { } wave)
            return;
        var peaks = wave.Peaks;
        await context.Response.WriteAsJsonAsync(
            new WaveFacts(
                wave.Stamp,
                peaks.SampleRateHz,
                peaks.Levels.ChannelCount,
                peaks.Levels.FrameCount,
                peaks.KnownFrames,
                [.. Enumerable.Range(0, peaks.Levels.Count).Select(PeakLevels.BinFrames)]
            ),
            WaveJson.Default.WaveFacts,
            cancellationToken: context.RequestAborted
        );
    }

    private static async Task Peaks(
        string id,
        int level,
        long? from,
        int? count,
        string? state,
        HttpContext context,
        FileShelf shelf,
        WaveBook book
    )
    {
        if (await Opened(id, state, context, shelf, book) is not { } wave)
            return;
        if (level < 0 || level >= wave.Peaks.Levels.Count || from is not >= 0 || count is not (> 0 and <= MostBins))
        {
            await Refusals.Write(context, StatusCodes.Status400BadRequest, "There are no such peaks.");
            return;
        }
        await WriteFloats(context, wave.Peaks.Read(level, from.Value, count.Value));
    }

    private static async Task Frames(string id, long? from, int? count, string? state, HttpContext context, FileShelf shelf)
    {
        var path = shelf.PathOf(id);
        if (!await IsAsItWas(path, state, context))
            return;
        try
        {
            using var reader = AudioFile.Open(path!);
            var channels = reader.Format.ChannelCount;
            if (from is not >= 0 || count is not > 0 || count > MostSamples / channels)
            {
                await Refusals.Write(context, StatusCodes.Status400BadRequest, "There are no such frames.");
                return;
            }
            var frames = new float[(int)Math.Clamp(reader.FrameCount - from.Value, 0, count.Value) * channels];
            var got = reader.Read(from.Value, frames);
            await WriteFloats(context, frames.AsMemory(0, got * channels));
        }
        catch (Exception error) when (error is Fault or IOException or UnauthorizedAccessException)
        {
            await Refusals.Write(context, StatusCodes.Status404NotFound, Fault.FromInputError(path!, error).Message);
        }
    }

    private static async Task<Wave?> Opened(string id, string? state, HttpContext context, FileShelf shelf, WaveBook book)
    {
        var path = shelf.PathOf(id);
        if (!await IsAsItWas(path, state, context))
            return null;
        if (await book.Find(path!) is { } wave)
            return wave;
        await Refusals.Write(context, StatusCodes.Status404NotFound, $"{Path.GetFileName(path)} cannot be read.");
        return null;
    }

    private static async Task<bool> IsAsItWas(string? path, string? state, HttpContext context)
    {
        var now = path is null ? null : WaveBook.Stamp(path);
        if (now is null)
            await Refusals.Write(context, StatusCodes.Status404NotFound, "This file is not there any more.");
        else if (state is not null && state != now)
            await Refusals.Write(context, StatusCodes.Status409Conflict, "This file has changed. Load the page again.");
        else
            return true;
        return false;
    }

    internal static async Task WriteFloats(HttpContext context, ReadOnlyMemory<float> values)
    {
        context.Response.ContentType = "application/octet-stream";
        context.Response.ContentLength = 4L * values.Length;
        var bytes = MemoryMarshal.AsBytes(values.Span).ToArray();
        if (!BitConverter.IsLittleEndian)
            System.Buffers.Binary.BinaryPrimitives.ReverseEndianness(
                MemoryMarshal.Cast<byte, int>(bytes),
                MemoryMarshal.Cast<byte, int>(bytes.AsSpan())
            );
        await context.Response.Body.WriteAsync(bytes, context.RequestAborted);
    }

    /// <param name="State">Names this state of the file.</param>
    /// <param name="SampleRateHz">Frames a second.</param>
    /// <param name="ChannelCount">Channels.</param>
    /// <param name="FrameCount">Frames of the whole file.</param>
    /// <param name="KnownFrames">Frames of which peaks are known so far, from the beginning.</param>
    /// <param name="BinFrames">Frames in a bin of each level.</param>
    internal sealed record WaveFacts(
        string State,
        int SampleRateHz,
        int ChannelCount,
        long FrameCount,
        long KnownFrames,
        IReadOnlyList<long> BinFrames
    );
}

[JsonSourceGenerationOptions(PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase)]
[JsonSerializable(typeof(WaveEndpoints.WaveFacts))]
internal sealed partial class WaveJson : JsonSerializerContext;
