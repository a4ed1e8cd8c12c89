namespace Offtape.Base;

/// <summary>
/// Where long work tells how far it is. The same reports feed a terminal's bar, JSON lines or a web page; a report must be cheap and may
/// come from any thread. <see cref="None"/> listens to nothing.
/// </summary>
public sealed class JobProgress
{
    private readonly Action<JobState>? _listener;
    private readonly double _from;
    private readonly double _to;

    private JobProgress(Action<JobState>? listener, double from, double to) => (_listener, _from, _to) = (listener, from, to);

    public static JobProgress None { get; } = new(null, 0, 1);

    public static JobProgress To(Action<JobState> listener) => new(listener, 0, 1);

    public void Report(string stage, double fraction, string words) =>
        _listener?.Invoke(new JobState(stage, _from + (_to - _from) * Math.Clamp(fraction, 0, 1), words));

    /// <summary>A part of this job, from one fraction of it to another: the part reports 0 to 1 and knows nothing of the rest.</summary>
    public JobProgress Part(double from, double to) => new(_listener, _from + (_to - _from) * from, _from + (_to - _from) * to);
}
