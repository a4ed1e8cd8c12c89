using System.Collections.Concurrent;
using System.Security.Cryptography;
using System.Text;
using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Web.Folders;

namespace Offtape.Web.Waves;

/// <summary>
/// The peaks by which sounds of the studio are drawn. A file is read once, from one end to the other, and what was found is kept among the
/// program's own files; it is read again only when the file changed. A drawing may ask while that goes on.
/// </summary>
internal sealed class WaveBook : IDisposable
{
    private const int BlockFrames = 256 * PeakLevels.FinestBinFrames;

    /// <summary>Peaks of about four hours of stereo are held at once; those asked for longest ago go first.</summary>
    private const long MostHeldBytes = 128L << 20;

    /// <summary>Room that kept peaks may take on the disk.</summary>
    private const long MostKeptBytes = 1L << 30;

    private readonly StudioFolder _studio;
    private readonly string _folder;
    private readonly ConcurrentDictionary<string, Entry> _byPath = [];
    private readonly CancellationTokenSource _closing = new();

    // Two readers at once keep a disk and two cores busy.
    private readonly SemaphoreSlim _readers = new(2);
    private long _clock;

    public WaveBook(StudioFolder studio)
    {
        _studio = studio;
        _folder = Path.Combine(studio.Own, "waves");
        ClearAway();
    }

    /// <summary>The peaks of a file, whole or still growing.</summary>
    /// <returns>Null: the file is not there, or cannot be read.</returns>
    public async Task<Wave?> Find(string path)
    {
        if (Stamp(path) is not { } stamp)
            return null;
        var entry = _byPath.AddOrUpdate(path, _ => Begin(path, stamp), (_, known) => known.Stamp == stamp ? known : Begin(path, stamp));
        Interlocked.Exchange(ref entry.AskedAt, Interlocked.Increment(ref _clock));
        var pyramid = await entry.Opened.Value;
        return pyramid is null ? null : new Wave(pyramid, entry.Stamp);
    }

    /// <summary>As <see cref="Find"/>, once all of it is known.</summary>
    public async Task<Wave?> FindWhole(string path)
    {
        if (await Find(path) is not { } wave || !_byPath.TryGetValue(path, out var entry))
            return null;
        return await entry.Filled && wave.Peaks.IsWhole ? wave : null;
    }

    /// <summary>What tells one state of a file from another; null: it is not there.</summary>
    public static string? Stamp(string path)
    {
        var file = new FileInfo(path);
        return file.Exists ? $"{file.Length:x}-{file.LastWriteTimeUtc.Ticks:x}" : null;
    }

    public void Dispose()
    {
        _closing.Cancel();
        _closing.Dispose();
    }

    private Entry Begin(string path, string stamp) => new(stamp, entry => Open(path, entry));

    private async Task<PeakPyramid?> Open(string path, Entry entry)
    {
        await Task.Yield();
        try
        {
            var mark = SourceMark.Of(path);
            var reader = AudioFile.Open(path);
            var levels = new PeakLevels(reader.FrameCount, reader.Format.ChannelCount);
            var kept = Path.Combine(_folder, KeptName(path));
            if (PeakFile.TryLoad(kept, mark, levels, reader.Format.SampleRateHz) is { } known)
            {
                reader.Dispose();
                entry.Fill(Task.FromResult(true));
                return known;
            }
            if (levels.ValueCount(0) > Array.MaxLength)
            {
                reader.Dispose();
                entry.Fill(Task.FromResult(false));
                return null;
            }
            var pyramid = new PeakPyramid(levels, reader.Format.SampleRateHz);
            entry.Fill(Task.Run(() => Read(path, reader, pyramid, mark, kept)));
            return pyramid;
        }
        catch (Exception error) when (error is Fault or IOException or UnauthorizedAccessException)
        {
            entry.Fill(Task.FromResult(false));
            return null;
        }
        finally
        {
            LetGo(path);
        }
    }

    private async Task<bool> Read(string path, IAudioReader reader, PeakPyramid pyramid, SourceMark mark, string kept)
    {
        using (reader)
        {
            try
            {
                await _readers.WaitAsync(_closing.Token);
            }
            catch (Exception error) when (error is OperationCanceledException or ObjectDisposedException)
            {
                return false;
            }
            try
            {
                var block = new float[BlockFrames * pyramid.Levels.ChannelCount];
                while (!pyramid.IsWhole)
                {
                    if (_closing.IsCancellationRequested)
                        return false;
                    var got = reader.Read(pyramid.KnownFrames, block);
                    if (got == 0)
                        return false;
                    pyramid.Add(block.AsSpan(0, got * pyramid.Levels.ChannelCount));
                }
            }
            catch (Exception error) when (error is Fault or IOException or UnauthorizedAccessException)
            {
                // Taken away while it was read: what is known stays drawn, and the page is told when it asks again.
                return false;
            }
            finally
            {
                _readers.Release();
            }
        }
        Keep(path, pyramid, mark, kept);
        return true;
    }

    private void Keep(string path, PeakPyramid pyramid, SourceMark mark, string kept)
    {
        try
        {
            // A small file is read again as quickly as its peaks would be.
            if (pyramid.Levels.FrameCount < BlockFrames || SourceMark.Of(path) != mark)
                return;
            Directory.CreateDirectory(_folder);
            PeakFile.Save(kept, mark, pyramid);
        }
        catch (Exception error) when (error is Fault or IOException or UnauthorizedAccessException)
        {
            // Then they are made anew at the next start.
        }
    }

    private string KeptName(string path) =>
        $"{Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(Path.GetRelativePath(_studio.Root, path))).AsSpan(0, 16))}.peaks";

    private void LetGo(string latest)
    {
        var held = _byPath
            .Where(e => e.Key != latest && e.Value.Opened.Value is { IsCompletedSuccessfully: true, Result: not null })
            .Select(e => (e.Key, e.Value.AskedAt, e.Value.Opened.Value.Result!.ByteCount))
            .OrderByDescending(e => e.AskedAt)
            .ToList();
        long sum = 0;
        foreach (var (key, _, bytes) in held)
        {
            sum += bytes;
            if (sum > MostHeldBytes)
                _byPath.TryRemove(key, out _);
        }
    }

    // What an interrupted run left, and what is too much: the oldest go.
    private void ClearAway()
    {
        try
        {
            if (!Directory.Exists(_folder))
                return;
            long sum = 0;
            foreach (var file in new DirectoryInfo(_folder).GetFiles().OrderByDescending(f => f.LastWriteTimeUtc))
            {
                sum += file.Length;
                if (file.Extension != ".peaks" || sum > MostKeptBytes)
                    file.Delete();
            }
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            // They take room, and do no other harm.
        }
    }

    private sealed class Entry
    {
        private readonly TaskCompletionSource<Task<bool>> _filled = new(TaskCreationOptions.RunContinuationsAsynchronously);
        public long AskedAt;

        public Entry(string stamp, Func<Entry, Task<PeakPyramid?>> open) =>
            (Stamp, Opened) = (stamp, new Lazy<Task<PeakPyramid?>>(() => open(this)));

        public string Stamp { get; }

        public Lazy<Task<PeakPyramid?>> Opened { get; }

        /// <summary>Ends once all of the file was read (true) or it could not be.</summary>
        public Task<bool> Filled => _filled.Task.Unwrap();

        public void Fill(Task<bool> filling) => _filled.TrySetResult(filling);
    }
}

/// <summary>The peaks of a file, and of which state of it.</summary>
/// <param name="Peaks">Whole or still growing.</param>
/// <param name="Stamp">What tells one state of the file from another.</param>
internal sealed record Wave(PeakPyramid Peaks, string Stamp);
