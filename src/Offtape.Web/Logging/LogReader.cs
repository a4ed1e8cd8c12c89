using Offtape.Base;
using Offtape.Studio;
using Offtape.Web.Folders;

namespace Offtape.Web.Logging;

/// <summary>The studio's log, for the pages. To look makes no log: where there is none, there is nothing.</summary>
public sealed class LogReader(StudioFolder studio)
{
    /// <summary>A page has added to the log: other windows look again.</summary>
    public event EventHandler? Changed;

    public bool IsThere => File.Exists(Path.Combine(studio.Root, StudioStore.FileName));

    /// <summary>What the log has; <paramref name="nothing"/> where there is no log yet.</summary>
    /// <exception cref="Fault">It is damaged, of a newer version, or busy for too long.</exception>
    internal T Read<T>(T nothing, Func<StudioStore, T> read)
    {
        if (!IsThere)
            return nothing;
        using var store = StudioStore.OpenExisting(studio.Root);
        return read(store);
    }

    /// <summary>Adds to a log that is there.</summary>
    /// <inheritdoc cref="Read{T}"/>
    internal void Write(Action<StudioStore> write)
    {
        using (var store = StudioStore.OpenExisting(studio.Root))
            write(store);
        Changed?.Invoke(this, EventArgs.Empty);
    }
}
