using System.Collections.Concurrent;
using System.Security.Cryptography;
using System.Text;

namespace Offtape.Web.Folders;

/// <summary>
/// Files of the studio under identifiers that say nothing: the browser asks for a file by one of these, and only for one that a page has
/// shown. The key is new at every start.
/// </summary>
public sealed class FileShelf(StudioFolder studio)
{
    private readonly byte[] _key = RandomNumberGenerator.GetBytes(32);
    private readonly ConcurrentDictionary<string, string> _byId = [];

    /// <summary>The identifier of a file; the same file always has the same one.</summary>
    /// <param name="path">Inside the studio.</param>
    /// <exception cref="ArgumentException">It lies elsewhere.</exception>
    public string IdOf(string path)
    {
        var full = Path.GetFullPath(path);
        if (!studio.Holds(full))
            throw new ArgumentException("Only files of the studio have an identifier.", nameof(path));
        var relative = Path.GetRelativePath(studio.Root, full);
        var id = Convert.ToHexStringLower(HMACSHA256.HashData(_key, Encoding.UTF8.GetBytes(relative)).AsSpan(0, 16));
        _byId[id] = full;
        return id;
    }

    /// <summary>The file, where the identifier is one and the file is still there and still inside the studio; else null.</summary>
    public string? PathOf(string? id) =>
        id is not null && _byId.TryGetValue(id, out var path) && File.Exists(path) && studio.Holds(path) ? path : null;
}
