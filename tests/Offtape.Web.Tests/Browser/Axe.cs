using System.Text.Json;
using Deque.AxeCore.Commons;
using Microsoft.Playwright;

namespace Offtape.Web.Tests.Browser;

/// <summary>
/// axe-core on a page. Its script is brought in once a document, and asked there: the package's own way opens another page for each question, which
/// is needed for frames alone and takes longer than the question.
/// </summary>
internal static class Axe
{
    /// <summary>WCAG 2.2, A and AA.</summary>
    public static readonly object Wcag22 = new { type = "tag", values = new[] { "wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa" } };

    /// <summary>Whether everything can be read.</summary>
    public static readonly object Contrast = new { type = "rule", values = new[] { "color-contrast" } };

    private static readonly string Script = new BundledAxeScriptProvider().GetScript();

    /// <summary>Holds that nothing is found that axe calls serious or critical.</summary>
    public static async Task FindsNothingSerious(IPage page, string screen, object rules)
    {
        // What stands in a frame would not be looked at.
        Assert.Single(page.Frames);
        if (!await page.EvaluateAsync<bool>("() => 'axe' in window"))
            await page.EvaluateAsync(Script);
        var found = await page.EvaluateAsync<JsonElement>(
            """
            async rules => {
                const { passes, violations } = await axe.run(document, { runOnly: rules, resultTypes: ['violations'] });
                const serious = violations.filter(v => ['serious', 'critical'].includes(v.impact));
                return { passed: passes.length, told: serious.flatMap(v => v.nodes.map(n => `${v.id}: ${v.help}: ${n.html}`)) };
            }
            """,
            rules
        );
        var told = string.Join("\n", found.GetProperty("told").EnumerateArray().Select(t => $"{screen}: {t}"));
        Assert.True(told.Length == 0, told);
        // A rule that has looked at nothing holds nothing.
        Assert.NotEqual(0, found.GetProperty("passed").GetInt32());
    }
}
