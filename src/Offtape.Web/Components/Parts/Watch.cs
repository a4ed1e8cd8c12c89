using Offtape.Web.Benching;
using Offtape.Web.Jobs;
using Offtape.Web.Logging;
using Offtape.Web.Printing;
using Offtape.Web.Uploads;

namespace Offtape.Web.Components.Parts;

/// <summary>Draws a part of a page again when the studio changes, however many changes come at once.</summary>
internal sealed class Watch : IDisposable
{
    private readonly Func<Action, Task> _dispatch;
    private readonly Action _draw;
    private readonly List<Action> _leave = [];
    private int _isPending;
    private volatile bool _isOver;

    /// <param name="dispatch">The component's own <c>InvokeAsync</c>.</param>
    /// <param name="draw">What is to be done there.</param>
    public Watch(Func<Action, Task> dispatch, Action draw) => (_dispatch, _draw) = (dispatch, draw);

    public Watch On(PassBook passes)
    {
        passes.Changed += Tell;
        _leave.Add(() => passes.Changed -= Tell);
        return this;
    }

    public Watch On(JobDesk jobs)
    {
        jobs.Changed += Tell;
        _leave.Add(() => jobs.Changed -= Tell);
        return this;
    }

    public Watch On(BenchBook benches)
    {
        benches.Changed += Tell;
        _leave.Add(() => benches.Changed -= Tell);
        return this;
    }

    public Watch On(UploadDesk uploads)
    {
        uploads.Changed += Tell;
        _leave.Add(() => uploads.Changed -= Tell);
        return this;
    }

    public Watch On(LogReader log)
    {
        log.Changed += Tell;
        _leave.Add(() => log.Changed -= Tell);
        return this;
    }

    public void Dispose()
    {
        _isOver = true;
        _leave.ForEach(l => l());
        _leave.Clear();
    }

    private void Tell(object? sender, EventArgs nothing)
    {
        if (_isOver || Interlocked.Exchange(ref _isPending, 1) == 1)
            return;
        _ = _dispatch(() =>
        {
            Volatile.Write(ref _isPending, 0);
            if (!_isOver)
                _draw();
        });
    }
}
