namespace Offtape.Report;

/// <summary>One socket in a diagram, and the line that leaves it.</summary>
/// <param name="Socket">Its name, as it is written on the thing it is on.</param>
/// <param name="Label">What lies on its own line only; empty for nothing.</param>
/// <param name="TakesSound">Sound goes in there: the line ends in an arrow.</param>
public sealed record DiagramLeg(string Socket, string Label, bool TakesSound);

/// <summary>Sockets of the left and of the right that hang together, and what joins them.</summary>
/// <param name="Left">Sockets on the left.</param>
/// <param name="Right">Sockets on the right, all of one thing.</param>
/// <param name="RightThing">The thing that the sockets on the right are on.</param>
/// <param name="Label">What lies between, for all of them.</param>
/// <param name="Ink">The colour of its lines.</param>
public sealed record DiagramBundle(
    IReadOnlyList<DiagramLeg> Left,
    IReadOnlyList<DiagramLeg> Right,
    string RightThing,
    string Label,
    InkRole Ink
);

/// <summary>What is plugged into what: one thing on the left, others on the right, and lines between their sockets. Immutable.</summary>
/// <param name="Title">What it shows, for a reader that cannot see it.</param>
/// <param name="LeftThing">The thing on the left.</param>
/// <param name="Bundles">From top to bottom; those of one thing on the right stand together.</param>
public sealed record JoinDiagram(string Title, string LeftThing, IReadOnlyList<DiagramBundle> Bundles)
{
    /// <summary>The joins in words, one a line.</summary>
    public string Description =>
        string.Join(
            " ",
            Bundles.Select(b =>
                $"{string.Join(", ", b.Left.Select(l => l.Socket))} of {LeftThing} with {string.Join(", ", b.Right.Select(l => l.Socket))} of {b.RightThing}: {b.Label}."
            )
        );

    /// <summary>The diagram as an SVG of its own.</summary>
    public string ToSvg(double widthPixels) => ToSvg(widthPixels, new SvgOptions());

    /// <param name="widthPixels">How wide it is drawn.</param>
    /// <param name="options">A file of its own, or part of a page.</param>
    public string ToSvg(double widthPixels, SvgOptions options) => SvgWriter.Write(DiagramLayout.Draw(this, widthPixels), options);
}

/// <summary>A diagram of joins.</summary>
public sealed record DiagramBlock(JoinDiagram Diagram) : Block;
