using Offtape.Base;
using Offtape.Studio;
using Offtape.Web.Folders;

namespace Offtape.Web.Logging;

/// <summary>Puts what the app did into the studio's log. The work is done by then: whatever goes wrong here is told, and is no fault.</summary>
public sealed class LogDesk(StudioFolder studio)
{
    /// <summary>Notes what was done.</summary>
    /// <returns>A sentence where it could not be noted; empty where it is in the log.</returns>
    internal string Note(Action<StudioLog> note)
    {
        try
        {
            using var store = StudioStore.Open(studio.Root);
            note(new StudioLog(store));
            return "";
        }
        catch (Exception error) when (error is not OperationCanceledException)
        {
            return $" This is not in the log of the studio: {error.Message.Split('\n')[0]}";
        }
    }
}
