using Offtape.Base;

namespace Offtape.Web.Serving;

/// <summary>Faults in the words of a page.</summary>
internal static class Plainly
{
    /// <summary>What is wrong, and what to do where that is not an option of the command.</summary>
    public static string Say(Fault fault) =>
        fault.Advice is { } advice
        && advice.Contains("--", StringComparison.Ordinal)
        && fault.Message.EndsWith(advice, StringComparison.Ordinal)
            ? fault.Message[..^advice.Length].TrimEnd()
            : fault.Message;
}
