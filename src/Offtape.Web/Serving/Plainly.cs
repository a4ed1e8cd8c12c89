using Offtape.Base;

namespace Offtape.Web.Serving;

/// <summary>Faults in the words of a page.</summary>
internal static class Plainly
{
    /// <summary>What is wrong, and what to do.</summary>
    /// <param name="fault">The fault.</param>
    /// <param name="instead">What to do on a page where the advice is an option of the command; empty: nothing is said then.</param>
    public static string Say(Fault fault, string instead = "") =>
        fault.Advice is { } advice
        && advice.Contains("--", StringComparison.Ordinal)
        && fault.Message.EndsWith(advice, StringComparison.Ordinal)
            ? $"{fault.Message[..^advice.Length].TrimEnd()} {instead}".TrimEnd()
            : fault.Message;
}
