using Offtape.Base;

namespace Offtape.Report;

/// <summary>Something that is made of blocks, one under the other. Immutable: adding gives a new one.</summary>
public interface IBlockDocument<TSelf>
    where TSelf : IBlockDocument<TSelf>
{
    TSelf Add(params Block[] blocks);
}

/// <summary>The words by which a page and a sheet are written alike.</summary>
public static class BlockDocument
{
    /// <summary>Begins a section, with the sentence that says it all where there is one.</summary>
    public static T Section<T>(this T document, string heading, string lead = "")
        where T : IBlockDocument<T> => document.Headed(2, heading, lead);

    /// <summary>Begins a part of a section.</summary>
    public static T Part<T>(this T document, string heading, string lead = "")
        where T : IBlockDocument<T> => document.Headed(3, heading, lead);

    /// <summary>A paragraph. Numbers are set in the monospaced face, a unit after a thin space in soft ink.</summary>
    public static T Text<T>(this T document, string text)
        where T : IBlockDocument<T> => document.Add(new TextBlock(text));

    /// <summary>What is typed on a command line, one command a line.</summary>
    public static T Commands<T>(this T document, params string[] lines)
        where T : IBlockDocument<T> => document.Add(new CommandsBlock(lines));

    public static T Table<T>(this T document, ReportTable table)
        where T : IBlockDocument<T> => document.Add(new TableBlock(table));

    public static T Figure<T>(this T document, PlotModel plot, string caption = "")
        where T : IBlockDocument<T> => document.Add(new FigureBlock(plot, caption));

    /// <summary>Something to hear, by its path from the page's own folder, with / between the names.</summary>
    public static T Audio<T>(this T document, string label, string relativePath)
        where T : IBlockDocument<T> => document.Add(new AudioBlock(label, relativePath));

    /// <summary>Names and values, one pair a line.</summary>
    public static T Facts<T>(this T document, params (string Name, string Value)[] facts)
        where T : IBlockDocument<T> => document.Add(new FactsBlock(facts));

    /// <summary>Steps in order, each with a box to tick.</summary>
    public static T Checklist<T>(this T document, params string[] steps)
        where T : IBlockDocument<T> => document.Add(new ChecklistBlock(steps));

    public static T Caution<T>(this T document, CautionKind kind, string word, string text)
        where T : IBlockDocument<T> => document.Add(new CautionBlock(kind, word, text));

    public static T Notices<T>(this T document, IEnumerable<Notice> notices)
        where T : IBlockDocument<T> => document.Add([.. notices.Select(CautionBlock.From)]);

    private static T Headed<T>(this T document, int level, string heading, string lead)
        where T : IBlockDocument<T> =>
        lead.Length == 0
            ? document.Add(new HeadingBlock(level, heading))
            : document.Add(new HeadingBlock(level, heading), new TextBlock(lead));
}
