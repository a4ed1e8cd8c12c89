namespace Offtape.Base;

/// <summary>Something the user should know that did not stop the work: a stable code for programs, one plain sentence for people.</summary>
public sealed record Notice(string Code, string Text);
