using System.Diagnostics;
using Offtape.Base;

namespace Offtape.Cli.Shell;

/// <summary>
/// One line at the foot of a terminal for work that takes longer than a second: a bar, what is being done, and how long it will still
/// take. Off a terminal it is silent.
/// </summary>
internal sealed class ProgressLine(TextWriter error, bool shown, Ink ink, TimeProvider? clock = null)
{
    private const int BarWidth = 24;
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan Pause = TimeSpan.FromMilliseconds(100);
    private readonly TimeProvider _clock = clock ?? TimeProvider.System;
    private readonly Lock _gate = new();
    private long _start;
    private TimeSpan _lastDrawn;
    private int _drawnWidth;

    /// <summary>Starts the clock and gives the listener for one job.</summary>
    public JobProgress Begin()
    {
        if (!shown)
            return JobProgress.None;
        _start = _clock.GetTimestamp();
        _lastDrawn = TimeSpan.Zero;
        return JobProgress.To(Draw);
    }

    /// <summary>Takes the line away, so that words can stand there.</summary>
    public void Clear()
    {
        lock (_gate)
        {
            if (_drawnWidth == 0)
                return;
            error.Write("\r" + new string(' ', _drawnWidth) + "\r");
            _drawnWidth = 0;
        }
    }

    private void Draw(JobState state)
    {
        lock (_gate)
        {
            var elapsed = _clock.GetElapsedTime(_start);
            if (elapsed < Patience || elapsed - _lastDrawn < Pause)
                return;
            _lastDrawn = elapsed;
            var full = (int)Math.Round(BarWidth * state.Fraction);
            var words = state.Words + Remaining(state.Fraction, elapsed);
            var plainWidth = BarWidth + 2 + words.Length;
            error.Write(
                $"\r{ink.Accent(new string('━', full))}{ink.Soft(new string('─', BarWidth - full))}  {words}".PadRight(_drawnWidth)
            );
            if (plainWidth < _drawnWidth)
                error.Write(new string(' ', _drawnWidth - plainWidth));
            _drawnWidth = Math.Max(plainWidth, _drawnWidth);
        }
    }

    // Below a twentieth the estimate would jump about; it is left out.
    private static string Remaining(double fraction, TimeSpan elapsed) =>
        fraction < 0.05 ? "" : $" · {Words.Duration(Math.Max(1, elapsed.TotalSeconds * (1 - fraction) / fraction))} left";
}
