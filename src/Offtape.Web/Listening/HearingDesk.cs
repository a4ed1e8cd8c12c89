using System.Collections.Concurrent;
using System.Security.Cryptography;
using System.Text;
using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Web.Folders;
using Offtape.Web.Waves;

namespace Offtape.Web.Listening;

/// <summary>
/// What can be heard, under identifiers that say nothing; how loud each variant is and what is matched for the difference, measured once in
/// the background. The sound itself is read from the files piece by piece, whenever it is asked for.
/// </summary>
internal sealed class HearingDesk(StudioFolder studio) : IDisposable
{
    private const int MostSets = 500;
    private readonly byte[] _key = RandomNumberGenerator.GetBytes(32);
    private readonly ConcurrentDictionary<string, HeardSet> _byId = [];
    private readonly ConcurrentDictionary<string, Lazy<Task<HeardLevel?>>> _levels = [];
    private readonly ConcurrentDictionary<string, Lazy<Task<ChannelFit[]?>>> _fits = [];
    private readonly ConcurrentDictionary<string, HeardFormat> _formats = [];
    private readonly CancellationTokenSource _closing = new();
    private readonly SemaphoreSlim _meters = new(2);

    /// <summary>Puts files together to be switched between; the same files always have the same identifier.</summary>
    /// <param name="name">Of the sound.</param>
    /// <param name="files">By variant; all in the studio.</param>
    /// <param name="map">What is drawn below; may be null.</param>
    public HeardSet Open(string name, IReadOnlyDictionary<string, string> files, HeardMap? map = null)
    {
        if (files.Values.FirstOrDefault(f => !studio.Holds(f)) is not null)
            throw new ArgumentException("Only files of the studio are heard.", nameof(files));
        var all = string.Join("\0", files.OrderBy(f => f.Key, StringComparer.Ordinal).Select(f => $"{f.Key}\0{f.Value}"));
        var id = Convert.ToHexStringLower(HMACSHA256.HashData(_key, Encoding.UTF8.GetBytes($"{name}\0{all}")).AsSpan(0, 16));
        if (_byId.Count > MostSets)
            _byId.Clear();
        return _byId[id] = new HeardSet(id, name, files, map);
    }

    public HeardSet? Find(string? id) => id is not null && _byId.TryGetValue(id, out var set) ? set : null;

    /// <summary>The files as they are now: what is heard of another state does not belong together with what was heard before.</summary>
    public static string State(HeardSet set) =>
        Convert.ToHexStringLower(
            SHA256
                .HashData(
                    Encoding.UTF8.GetBytes(
                        string.Join("|", set.Files.OrderBy(f => f.Key, StringComparer.Ordinal).Select(f => WaveBook.Stamp(f.Value)))
                    )
                )
                .AsSpan(0, 8)
        );

    /// <summary>How loud a variant is; a task that ends with null where its file cannot be read.</summary>
    public Task<HeardLevel?> Level(HeardSet set, string variant, HeardFormat format)
    {
        if (set.FileOf(variant) is not { } path || WaveBook.Stamp(path) is not { } stamp)
            return Task.FromResult<HeardLevel?>(null);
        return _levels
            .GetOrAdd(
                $"{path}|{stamp}|{format.SampleRateHz}|{format.ChannelCount}",
                _ => new Lazy<Task<HeardLevel?>>(() => Measure(path, format))
            )
            .Value;
    }

    /// <summary>How the variants of a set are heard.</summary>
    /// <exception cref="Fault">None of its files can be read.</exception>
    public HeardFormat Format(HeardSet set)
    {
        var key = $"{set.Id}|{State(set)}";
        if (_formats.TryGetValue(key, out var known))
            return known;
        if (_formats.Count > MostSets)
            _formats.Clear();
        return _formats[key] = HeardFormat.Of(set);
    }

    /// <summary>What is matched before the source is subtracted; a task that ends with null where there is no difference to hear.</summary>
    public Task<ChannelFit[]?> Fit(HeardSet set, HeardFormat format)
    {
        if (set.Pair is not { } pair || WaveBook.Stamp(pair.Source) is not { } source || WaveBook.Stamp(pair.Take) is not { } take)
            return Task.FromResult<ChannelFit[]?>(null);
        return _fits
            .GetOrAdd(
                $"{pair.Source}|{source}|{pair.Take}|{take}|{format}",
                _ => new Lazy<Task<ChannelFit[]?>>(() => Task.Run(() => FitOf(pair, format)))
            )
            .Value;
    }

    /// <summary>Gains by which all variants are equally loud; null until all are measured.</summary>
    public IReadOnlyDictionary<string, double>? Gains(HeardSet set, HeardFormat format)
    {
        var levels = new List<(string, HeardLevel)>();
        foreach (var variant in set.Files.Keys.OrderByDescending(v => v == HeardSet.Source))
        {
            var level = Level(set, variant, format);
            if (!level.IsCompleted)
                return null;
            if (level.Result is { } known)
                levels.Add((variant, known));
        }
        var gains = LoudnessMatch.Gains(levels);
        // The difference has no loudness of its own to be matched by: it is heard at the level it has beside the source.
        if (gains.TryGetValue(HeardSet.Source, out var beside))
            gains[HeardSet.Added] = gains[HeardSet.ToneAside] = beside;
        return gains;
    }

    /// <summary>Frames of a variant.</summary>
    /// <returns>False: there is no such variant, or it cannot be had.</returns>
    /// <exception cref="Fault">A file can no longer be read.</exception>
    public async Task<bool> TryRead(HeardSet set, string variant, HeardFormat format, long fromFrame, Memory<float> interleaved)
    {
        if (variant is HeardSet.Added or HeardSet.ToneAside)
        {
            if (set.Pair is not { } pair || await Fit(set, format) is not { } fits)
                return false;
            using var source = AudioFile.Open(pair.Source);
            using var lockTake = AudioFile.Open(pair.Take);
            if (variant == HeardSet.Added)
                AddedFrames.Read(source, lockTake, fits, format, fromFrame, interleaved.Span);
            else
                AddedFrames.ReadToneAside(source, lockTake, fits, format, fromFrame, interleaved.Span);
            return true;
        }
        if (set.FileOf(variant) is not { } path || !File.Exists(path) || !studio.Holds(path))
            return false;
        using var reader = AudioFile.Open(path);
        HeardFrames.Read(reader, format, fromFrame, interleaved.Span);
        return true;
    }

    public void Dispose()
    {
        _closing.Cancel();
        _closing.Dispose();
        _meters.Dispose();
    }

    private async Task<HeardLevel?> Measure(string path, HeardFormat format)
    {
        try
        {
            var closing = _closing.Token;
            await _meters.WaitAsync(closing);
            try
            {
                return await Task.Run(
                    () =>
                    {
                        using var reader = AudioFile.Open(path);
                        return HeardLevel.Of(reader, format, closing);
                    },
                    closing
                );
            }
            finally
            {
                _meters.Release();
            }
        }
        catch (Exception error)
            when (error is Fault or IOException or UnauthorizedAccessException or OperationCanceledException or ObjectDisposedException)
        {
            return null;
        }
    }

    private static ChannelFit[]? FitOf((string Source, string Take) pair, HeardFormat format)
    {
        try
        {
            using var source = AudioFile.Open(pair.Source);
            using var take = AudioFile.Open(pair.Take);
            return AddedFit.Of(source, take, format);
        }
        catch (Exception error) when (error is Fault or IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }
}
