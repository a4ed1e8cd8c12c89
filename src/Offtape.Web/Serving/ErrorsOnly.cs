using Microsoft.Extensions.Logging;

namespace Offtape.Web.Serving;

/// <summary>Passes on what went wrong or looks like it, and nothing else: no request is written down anywhere.</summary>
internal sealed class ErrorsOnly(Action<string, Exception?> tell) : ILoggerProvider, ILogger
{
    public ILogger CreateLogger(string categoryName) => this;

    public IDisposable? BeginScope<TState>(TState state)
        where TState : notnull => null;

    public bool IsEnabled(LogLevel logLevel) => logLevel >= LogLevel.Warning;

    public void Log<TState>(
        LogLevel logLevel,
        EventId eventId,
        TState state,
        Exception? exception,
        Func<TState, Exception?, string> formatter
    )
    {
        if (IsEnabled(logLevel))
            tell(formatter(state, exception), exception);
    }

    public void Dispose() { }
}
