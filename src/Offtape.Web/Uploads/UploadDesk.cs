using System.Security.Cryptography;
using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Web.Benching;
using Offtape.Web.Folders;
using Offtape.Web.Printing;
using Offtape.Web.Serving;
using Offtape.Web.Sounds;

namespace Offtape.Web.Uploads;

/// <summary>
/// Files on their way in. A page first asks for room by name and size; what is too large, has no room or is no audio is refused then, before
/// a byte is sent. The bytes stream to a hidden file that gets its name when it is whole and can be read. What was on its way when the
/// program ended is told at the next start.
/// </summary>
public sealed class UploadDesk
{
    private const int BlockBytes = 1 << 18;
    private const int MostKept = 200;
    private static readonly TimeSpan TellEvery = TimeSpan.FromMilliseconds(200);
    private readonly PassBook _passes;
    private readonly BenchBook _benches;
    private readonly SoundBook _sounds;
    private readonly WebOptions _options;
    private readonly ComingNotes _notes;
    private readonly Lock _gate = new();
    private readonly Dictionary<string, Upload> _byId = [];
    private readonly List<string> _order = [];

    public UploadDesk(StudioFolder studio, PassBook passes, BenchBook benches, SoundBook sounds, WebOptions options)
    {
        (_passes, _benches, _sounds, _options) = (passes, benches, sounds, options);
        _notes = new ComingNotes(studio.Own);
        foreach (var left in _notes.All())
        {
            if (Arrived(left))
            {
                _notes.Drop(left.Id);
                continue;
            }
            _byId[left.Id] = left with
            {
                Stand = UploadStand.Refused,
                Words = $"{left.Name} did not arrive whole: Offtape ended while it was on its way. Nothing of it was kept. Drop it again.",
            };
            _order.Add(left.Id);
        }
    }

    /// <summary>A file came, came further, or was refused.</summary>
    public event EventHandler? Changed;

    /// <summary>What comes in for a pass, and what was refused and not yet put away.</summary>
    public IReadOnlyList<Upload> For(string passId, UploadPlace place)
    {
        lock (_gate)
            return [.. _order.Select(id => _byId[id]).Where(u => u.PassId == passId && u.Place == place && u.Stand != UploadStand.Done)];
    }

    /// <summary>Asks for room for one file.</summary>
    /// <returns>What it will be called, or why it is refused.</returns>
    public Upload Ask(PassFolder pass, UploadPlace place, string offeredName, long byteCount) =>
        Ask(pass.Plan.Id, pass.Studio, place, offeredName, byteCount);

    /// <summary>As the other, for a recording of a check signal.</summary>
    public Upload Ask(BenchSitting sitting, string offeredName, long byteCount) =>
        Ask(sitting.Plan.Id, sitting.Studio, UploadPlace.Bench, offeredName, byteCount);

    private Upload Ask(string ownerId, StudioFolder studio, UploadPlace place, string offeredName, long byteCount)
    {
        var name = SafeName.ForSound(offeredName);
        var upload = new Upload
        {
            Id = Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(16)),
            PassId = ownerId,
            Place = place,
            Name = name ?? SafeName.ForFolder(offeredName[(offeredName.LastIndexOfAny(['/', '\\']) + 1)..]),
            ByteCount = byteCount,
        };
        if (Trouble(studio, upload.Name, name is not null, byteCount) is { } trouble)
            upload = upload with { Stand = UploadStand.Refused, Words = trouble };
        else
            _notes.Keep(upload);
        lock (_gate)
        {
            while (_order.Count >= MostKept && _order.FindIndex(id => _byId[id].IsOver) is var over and >= 0)
            {
                _byId.Remove(_order[over]);
                _order.RemoveAt(over);
            }
            _byId[upload.Id] = upload;
            _order.Add(upload.Id);
        }
        Changed?.Invoke(this, EventArgs.Empty);
        return upload;
    }

    public Upload? Find(string id)
    {
        lock (_gate)
            return _byId.GetValueOrDefault(id);
    }

    /// <summary>Puts a refusal away.</summary>
    public void Forget(string id)
    {
        lock (_gate)
        {
            if (_byId.TryGetValue(id, out var upload) && upload.IsOver && _byId.Remove(id))
                _order.Remove(id);
        }
        _notes.Drop(id);
        Changed?.Invoke(this, EventArgs.Empty);
    }

    /// <summary>Takes the bytes of a file that has asked.</summary>
    /// <returns>How it ended.</returns>
    public async Task<Upload> Receive(string id, Stream body, CancellationToken cancellation)
    {
        Upload upload;
        lock (_gate)
        {
            if (!_byId.TryGetValue(id, out var asked) || asked.Stand != UploadStand.Waiting)
                return asked
                    ?? new Upload
                    {
                        Id = id,
                        PassId = "",
                        Place = UploadPlace.Source,
                        Name = "",
                        ByteCount = 0,
                        Stand = UploadStand.Refused,
                        Words = "Nobody asked for room for this file. Drop it again.",
                    };
            _byId[id] = upload = asked with { Stand = UploadStand.Coming };
        }
        Changed?.Invoke(this, EventArgs.Empty);
        try
        {
            var (folder, studio) = FolderOf(upload);
            var path = await Save(upload, folder, studio, body, cancellation);
            return End(upload with { Stand = UploadStand.Done, Name = Path.GetFileName(path) });
        }
        catch (Fault fault)
        {
            return End(upload with { Stand = UploadStand.Refused, Words = Plainly.Say(fault, "Make room, then drop it again.") });
        }
        catch (Exception error) when (error is IOException or OperationCanceledException or UnauthorizedAccessException)
        {
            return End(
                upload with
                {
                    Stand = UploadStand.Refused,
                    Words = $"{upload.Name} did not arrive: the window was closed or the connection ended. Drop it again.",
                }
            );
        }
    }

    // The program may have ended between the last step and the end of its note.
    private bool Arrived(Upload upload)
    {
        try
        {
            return new FileInfo(Path.Combine(FolderOf(upload).Folder, upload.Name)) is { Exists: true } file
                && file.Length == upload.ByteCount;
        }
        catch (Fault)
        {
            return false;
        }
    }

    private (string Folder, StudioFolder Studio) FolderOf(Upload upload)
    {
        if (upload.Place == UploadPlace.Bench)
        {
            var sitting = _benches.Find(upload.PassId);
            return sitting is null
                ? throw Fault.Output(upload.Name, "its bench is not there any more", "Begin another.")
                : (sitting.CapturesFolder, sitting.Studio);
        }
        var pass = _passes.Find(upload.PassId) ?? throw Fault.Output(upload.Name, "its pass is not there any more", "Begin another.");
        return (upload.Place == UploadPlace.Source ? pass.SourcesFolder : pass.CapturesFolder, pass.Studio);
    }

    private async Task<string> Save(Upload upload, string folder, StudioFolder studio, Stream body, CancellationToken cancellation)
    {
        try
        {
            Directory.CreateDirectory(folder);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromOutputError(folder, error);
        }
        if (!studio.Holds(folder))
            throw Fault.Output(folder, "it leads out of the studio", "Look at the links in that folder.");
        // Under a hidden name at first: what is not whole, or not audio, never stands among the sounds.
        var waiting = Path.Combine(folder, StudioFolder.PartName());
        try
        {
            await Write(upload, waiting, body, cancellation);
            if (_sounds.Facts(waiting).Trouble is not null)
            {
                using var reader = Opened(waiting, upload.Name);
            }
            return Place(folder, upload.Name, waiting);
        }
        finally
        {
            File.Delete(waiting);
        }
    }

    // The fault names the file as the user knows it.
    private static IAudioReader Opened(string path, string name)
    {
        try
        {
            return AudioFile.Open(path);
        }
        catch (Fault fault)
        {
            throw Fault.Input(name, fault.Message[(fault.Message.IndexOf(": ", StringComparison.Ordinal) + 2)..].TrimEnd('.'));
        }
    }

    private string Place(string folder, string name, string waiting)
    {
        lock (_gate)
        {
            var path = Path.Combine(folder, SafeName.Free(folder, name));
            File.Move(waiting, path);
            return path;
        }
    }

    private async Task Write(Upload upload, string path, Stream body, CancellationToken cancellation)
    {
        try
        {
            await using var file = new FileStream(path, FileMode.CreateNew, FileAccess.Write, FileShare.Read, 0, FileOptions.Asynchronous);
            var block = new byte[BlockBytes];
            long received = 0;
            var told = _options.Clock.GetTimestamp();
            while (true)
            {
                var got = await body.ReadAsync(block, cancellation);
                if (got == 0)
                    break;
                received += got;
                if (received > upload.ByteCount)
                    throw Fault.Input(upload.Name, "more bytes came than were announced", null, "Drop it again.");
                await WriteBlock(file, block.AsMemory(0, got), upload.Name, cancellation);
                if (_options.Clock.GetElapsedTime(told) < TellEvery)
                    continue;
                told = _options.Clock.GetTimestamp();
                Set(upload with { Stand = UploadStand.Coming, ReceivedBytes = received });
                if (_options.FreeBytes(Path.GetDirectoryName(path)!) < _options.RoomLeftBytes / 2)
                    throw Fault.Output(upload.Name, "the disk is nearly full", "Make room, then drop it again.");
            }
            if (received < upload.ByteCount)
                throw Fault.Input(upload.Name, "not all of it arrived", null, "Drop it again.");
            Flush(file, upload.Name);
        }
        catch (UnauthorizedAccessException error)
        {
            throw Fault.FromOutputError(upload.Name, error);
        }
    }

    private static async Task WriteBlock(FileStream file, ReadOnlyMemory<byte> block, string name, CancellationToken cancellation)
    {
        try
        {
            await file.WriteAsync(block, cancellation);
        }
        catch (Exception error) when (Fault.IsOutputError(error))
        {
            throw Fault.FromOutputError(name, error);
        }
    }

    // Some disks say only here that they are full.
    private static void Flush(FileStream file, string name)
    {
        try
        {
            file.Flush(flushToDisk: true);
        }
        catch (Exception error) when (Fault.IsOutputError(error))
        {
            throw Fault.FromOutputError(name, error);
        }
    }

    private string? Trouble(StudioFolder studio, string name, bool isSound, long byteCount)
    {
        if (!isSound)
            return $"{name} does not have the name of an audio file. Offtape reads WAV and AIFF, and FLAC, MP3, Ogg, Opus, CAF and W64 where libsndfile is installed.";
        if (byteCount <= 0)
            return $"{name} is empty.";
        if (byteCount > _options.MostUploadBytes)
            return $"{name} holds {Words.ByteSize(byteCount)}; Offtape takes files of up to {Words.ByteSize(_options.MostUploadBytes)}. Cut it into pieces.";
        var free = Math.Max(0, _options.FreeBytes(studio.Root) - _options.RoomLeftBytes);
        lock (_gate)
            free -= _byId.Values.Where(u => !u.IsOver).Sum(u => u.ByteCount - u.ReceivedBytes);
        return byteCount > free
            ? $"There is no room for {name}: it holds {Words.ByteSize(byteCount)}, and {Words.ByteSize(Math.Max(0, free))} can be used on the disk of {studio.Root}. Make room, then drop it again."
            : null;
    }

    private Upload End(Upload upload)
    {
        _notes.Drop(upload.Id);
        Set(upload);
        if (upload.Place == UploadPlace.Bench)
            _benches.Tell();
        else
            _passes.Tell();
        return upload;
    }

    private void Set(Upload upload)
    {
        lock (_gate)
            if (_byId.ContainsKey(upload.Id))
                _byId[upload.Id] = upload;
        Changed?.Invoke(this, EventArgs.Empty);
    }
}
