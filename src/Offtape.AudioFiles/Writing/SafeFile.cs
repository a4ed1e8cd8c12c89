using System.Text;
using Offtape.Base;

namespace Offtape.AudioFiles;

/// <summary>
/// Files that are there whole or not at all: written under a temporary name in the same folder, flushed to the disk, then renamed.
/// </summary>
public static class SafeFile
{
    /// <summary>Writes a text as UTF-8 without a byte order mark.</summary>
    /// <exception cref="Fault">The file exists and is not to be replaced, or cannot be written.</exception>
    public static void WriteText(string path, string text, bool replace) => WriteBytes(path, Encoding.UTF8.GetBytes(text), replace);

    /// <inheritdoc cref="WriteText"/>
    public static void WriteBytes(string path, ReadOnlySpan<byte> bytes, bool replace)
    {
        using var pending = Create(path, replace);
        pending.Stream.Write(bytes);
        pending.Complete();
    }

    /// <summary>Lets <paramref name="write"/> fill the file; when it throws, nothing stays.</summary>
    /// <exception cref="Fault">The file exists and is not to be replaced, or cannot be written.</exception>
    public static void Write(string path, bool replace, Action<Stream> write)
    {
        using var pending = Create(path, replace);
        write(pending.Stream);
        pending.Complete();
    }

    /// <summary>Begins a file. Call <see cref="PendingFile.Complete"/> when it is whole, and dispose it in any case.</summary>
    /// <exception cref="Fault">The file exists and is not to be replaced, or its folder cannot be written to.</exception>
    public static PendingFile Create(string path, bool replace) => PendingFile.Create(path, replace, null);
}
