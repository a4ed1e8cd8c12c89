using Offtape.Base;

namespace Offtape.Report;

/// <summary>One piece of a page or a sheet. The same pieces make a page on a screen and a sheet of paper.</summary>
public abstract record Block;

/// <summary>A heading; level 1 is the title, 2 a section, 3 a part of one.</summary>
public sealed record HeadingBlock(int Level, string Text) : Block;

/// <summary>A paragraph in a column of at most 68 characters.</summary>
/// <param name="Text">Plain text; numbers are set in the monospaced face, units after a thin space in soft ink.</param>
/// <param name="IsLead">The sentence under a heading that says it all; a little larger.</param>
public sealed record TextBlock(string Text, bool IsLead = false) : Block;

/// <summary>What is typed on a command line, one command a line, set in the monospaced face.</summary>
public sealed record CommandsBlock(IReadOnlyList<string> Lines) : Block;

public sealed record TableBlock(ReportTable Table) : Block;

public sealed record FigureBlock(PlotModel Plot, string Caption) : Block;

/// <summary>Steps in order, each with a box to tick.</summary>
public sealed record ChecklistBlock(IReadOnlyList<string> Steps) : Block;

/// <summary>Names and values, one pair a line.</summary>
public sealed record FactsBlock(IReadOnlyList<(string Name, string Value)> Facts) : Block;

public enum CautionKind
{
    /// <summary>Worth knowing.</summary>
    Note,

    /// <summary>Something to look at.</summary>
    Warn,

    /// <summary>Something wrong, or dangerous.</summary>
    Bad,
}

/// <summary>A sentence that must not be missed, with a sign and a word before it; its colour alone says nothing.</summary>
public sealed record CautionBlock(CautionKind Kind, string Word, string Text) : Block
{
    public static CautionBlock From(Notice notice) => new(CautionKind.Warn, "Notice", notice.Text);
}

/// <summary>Something to hear. On paper only its name is left.</summary>
/// <param name="Label">What it is.</param>
/// <param name="RelativePath">Where it lies, from the page's own folder, with / between the names.</param>
public sealed record AudioBlock(string Label, string RelativePath) : Block;

/// <summary>Two columns side by side on a sheet, in small type; one after the other where they do not fit a page.</summary>
public sealed record ColumnsBlock(IReadOnlyList<Block> Left, IReadOnlyList<Block> Right) : Block;
