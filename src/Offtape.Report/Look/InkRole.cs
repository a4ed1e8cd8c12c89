namespace Offtape.Report;

/// <summary>What a colour is for. Nothing is drawn in a colour that has no role.</summary>
public enum InkRole
{
    /// <summary>The page itself.</summary>
    Paper,

    /// <summary>A panel that can be printed.</summary>
    Sheet,

    /// <summary>Lines one pixel wide: the only borders there are.</summary>
    Rule,

    /// <summary>Text, and the source's waveform.</summary>
    Ink,

    /// <summary>Notes, units, axes.</summary>
    Soft,

    /// <summary>The take's waveform, links, the one main action.</summary>
    Accent,

    /// <summary>A confidence band, a selection.</summary>
    Wash,

    /// <summary>Something to look at; always with a word or a sign as well.</summary>
    Warn,

    /// <summary>Something wrong; always with a word or a sign as well.</summary>
    Bad,
}
