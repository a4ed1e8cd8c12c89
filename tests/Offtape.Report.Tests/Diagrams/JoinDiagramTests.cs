namespace Offtape.Report.Tests;

/// <summary>A diagram of joins: words keep clear of each other at every width, and lines end at their sockets.</summary>
public sealed class JoinDiagramTests
{
    private static readonly JoinDiagram Diagram = new(
        "Patch",
        "interface",
        [
            new(
                [Leg("line out 1", "2: RCA socket to 6.35 mm mono plug"), Leg("line in 1", "3: RCA socket to 6.35 mm mono plug", true)],
                [Leg("tape din", "", true)],
                "reel machine",
                "1: five-pin DIN to four RCA, 26 dB in the record lines",
                InkRole.Accent
            ),
            new(
                [Leg("line out 2", "")],
                [Leg("mic in", "", true)],
                "portable",
                "4: 6.35 mm mono cable + 5: line to microphone attenuator",
                InkRole.Accent
            ),
            new(
                [Leg("line in 2", "", true), Leg("line in 3", "", true)],
                [Leg("line out 1", ""), Leg("line out 2", "")],
                "portable",
                "6: pair",
                InkRole.Ink
            ),
        ]
    );

    [Theory]
    [InlineData(480)]
    [InlineData(640)]
    [InlineData(720)]
    [InlineData(1000)]
    public void Words_keep_clear_of_each_other(double width) => Drawings.TextsKeepClear(DiagramLayout.Draw(Diagram, width));

    [Fact]
    public void Every_socket_that_takes_sound_has_an_arrow_and_every_other_a_dot()
    {
        var drawing = DiagramLayout.Draw(Diagram, 700);
        Assert.Equal(5, drawing.Marks.OfType<AreaMark>().Count());
        Assert.Equal(4, drawing.Marks.OfType<DotMark>().Count());
    }

    [Fact]
    public void Each_thing_has_one_box_and_the_boxes_stand_apart()
    {
        var boxes = DiagramLayout.Draw(Diagram, 700).Marks.OfType<BoxMark>().Select(b => b.Box).ToArray();
        Assert.Equal(3, boxes.Length);
        for (var i = 0; i < boxes.Length; i++)
        for (var j = i + 1; j < boxes.Length; j++)
            Assert.False(boxes[i].Overlaps(boxes[j]));
    }

    [Fact]
    public void A_reader_that_cannot_see_it_is_told_the_joins()
    {
        Assert.Contains(
            "line out 2 of interface with mic in of portable: 4: 6.35 mm mono cable",
            Diagram.ToSvg(700),
            StringComparison.Ordinal
        );
        var page = HtmlPage.Create("Patch").Add(new DiagramBlock(Diagram)).ToHtml();
        Assert.Contains("mic in of portable", page, StringComparison.Ordinal);
    }

    [Fact]
    public void Two_columns_stand_side_by_side_in_small_type()
    {
        Block[] left = [new HeadingBlock(2, "Left"), new ChecklistBlock(["one"])];
        Block[] right = [new HeadingBlock(2, "Right"), new CautionBlock(CautionKind.Warn, "Caution", "two")];
        var page = Assert.Single(SheetLayout.Draw(Sheet.Create("Sheet").Add(new ColumnsBlock(left, right))));
        var texts = Drawings.Texts(page).ToLookup(Drawings.TextOf, t => t.At);
        Assert.Equal(texts["Left"].Single().Y, texts["Right"].Single().Y);
        Assert.True(texts["Right"].Single().X > texts["Left"].Single().X + 200);
        Drawings.TextsKeepClear(page);
    }

    [Fact]
    public void Columns_higher_than_a_page_stand_one_after_the_other()
    {
        Block[] many = [new ChecklistBlock([.. Enumerable.Range(0, 80).Select(i => $"step {i}")])];
        var pages = SheetLayout.Draw(Sheet.Create("Sheet").Add(new ColumnsBlock(many, [new TextBlock("after")])));
        Assert.True(pages.Count > 1);
        Assert.All(pages, Drawings.TextsKeepClear);
    }

    [Fact]
    public void A_shortened_line_keeps_its_spaces()
    {
        var runs = TextWrapper.Shorten(TextRuns.Of("line out number one"), 60, 13);
        Assert.StartsWith("line o", string.Concat(runs.Select(r => r.Text)), StringComparison.Ordinal);
    }

    private static DiagramLeg Leg(string socket, string label, bool takesSound = false) => new(socket, label, takesSound);
}
