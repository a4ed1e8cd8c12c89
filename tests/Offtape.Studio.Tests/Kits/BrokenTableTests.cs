using System.Text;
using Offtape.Base;

namespace Offtape.Studio.Tests;

/// <summary>A table that is broken anywhere gives one line with row and column, and no offer of it is taken.</summary>
public sealed class BrokenTableTests
{
    private const string Head = "title,kind,features,sockets,mains_voltage,mains_frequency,price,shipping,condition,notes,part,count\n";
    private const string Good = "deck,cassette-deck,bias=I,line-in:rca:2; line-out:rca:2,230,50,40,5,working,,,\n";

    /// <summary>What is wrong, the table, and where the line has to say it is.</summary>
    public static TheoryData<string, string, string> Broken =>
        new()
        {
            { "empty", "", "row 1" },
            { "only spaces", "   \n", "row 1" },
            { "missing column", "title,kind,features\ndeck,cassette-deck,\n", "row 1, column 3: there is no column \"price\"" },
            { "column twice", "title,kind,price,price\na,tape,1,2\n", "row 1, column 4" },
            {
                "negative price",
                Head + Good + "deck,cassette-deck,,line-in:rca:2,230,50,-40,,,,,\n",
                "row 3, column 7 (price): \"-40\" is below zero"
            },
            { "true minus sign", Head + "deck,cassette-deck,,line-in:rca:2,230,50,−40,,,,,\n", "row 2, column 7" },
            { "price is words", Head + "deck,cassette-deck,,line-in:rca:2,230,50,cheap,,,,,\n", "row 2, column 7" },
            { "price is a formula", Head + "deck,cassette-deck,,line-in:rca:2,230,50,=1+2,,,,,\n", "row 2, column 7" },
            { "no price", Head + "deck,cassette-deck,,line-in:rca:2,230,50,,,,,,\n", "row 2, column 7 (price): there is no price" },
            { "thousand or fraction", "title;kind;price\ntape;part;1,234\n", "row 2, column 3" },
            {
                "comma splits a price",
                Head + "deck,cassette-deck,,line-in:rca:2,230,50,40,50,5,working,,,\n",
                "row 2, column 9 (condition)"
            },
            { "semicolons in one row", Head + Good + "deck;cassette-deck;;line-in:rca:2;230;50;40;;;;;\n", "row 3, column 1" },
            { "row cut short", Head + "deck,cassette-deck,bias=I\n", "row 2, column 3: the row has 3 cells" },
            { "row too long", Head + Good.TrimEnd('\n') + ",x,y\n", "row 2, column 13" },
            {
                "quote never closed",
                Head + Good + "\"deck,cassette-deck,,line-in:rca:2,230,50,40,,,,,\n" + Good,
                "row 3, column 1: a quotation mark is opened"
            },
            { "quote inside a cell", Head + "7\" deck,cassette-deck,,line-in:rca:2,230,50,40,,,,,\n", "row 2, column 1" },
            { "text behind a quote", Head + "\"deck\" old,cassette-deck,,line-in:rca:2,230,50,40,,,,,\n", "row 2, column 1" },
            { "unknown kind", Head + "deck,recorder,,line-in:rca:2,230,50,40,,,,,\n", "row 2, column 2 (kind)" },
            { "unknown feature", Head + "deck,cassette-deck,three-heads,line-in:rca:2,230,50,40,,,,,\n", "row 2, column 3 (features)" },
            { "unknown socket", Head + "deck,cassette-deck,,line-in:scart:2,230,50,40,,,,,\n", "row 2, column 4 (sockets)" },
            { "machine without sockets", Head + "deck,cassette-deck,,,230,50,40,,,,,\n", "row 2, column 4 (sockets)" },
            { "mains of a toaster", Head + "deck,cassette-deck,,line-in:rca:2,5000,50,40,,,,,\n", "row 2, column 5 (mains_voltage)" },
            { "unknown part", Head + "lead,part,,,,,4,,,,scart-rca,1\n", "row 2, column 11 (part)" },
            { "count of none", Head + "lead,part,,,,,4,,,,ts-rca,0\n", "row 2, column 12 (count)" },
            { "tape without a length", Head + "tape,tape,format=cassette,,,,4,,,,,\n", "row 2, column 3 (features)" },
            { "zero byte", Head + "de\0ck,cassette-deck,,line-in:rca:2,230,50,40,,,,,\n", "row 2, column 1" },
        };

    [Theory, MemberData(nameof(Broken))]
    public void It_is_one_line_with_row_and_column(string name, string table, string where)
    {
        Assert.NotEmpty(name);
        var fault = Assert.Throws<Fault>(() => Read(Encoding.UTF8.GetBytes(table)));
        Assert.Equal(ExitCode.InputUnreadable, fault.ExitCode);
        Assert.Contains(where, fault.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', fault.Message);
    }

    /// <summary>Latin-1 within UTF-8: é as one byte, E9.</summary>
    [Fact]
    public void Mixed_encodings_are_told_with_row_column_and_byte()
    {
        byte[] table =
        [
            .. Encoding.UTF8.GetBytes(Head + Good + "dé"),
            0xE9,
            .. Encoding.UTF8.GetBytes("ck,cassette-deck,,line-in:rca:2,230,50,40,,,,,\n"),
        ];
        var fault = Assert.Throws<Fault>(() => Read(table));
        Assert.Contains("row 3, column 1: byte E9 is not UTF-8", fault.Message, StringComparison.Ordinal);
    }

    /// <summary>A million rows that come from nowhere and are never all held: it stops after the hundred thousandth.</summary>
    [Fact]
    public void A_million_rows_are_refused_at_the_first_too_many()
    {
        using var endless = new RepeatingStream(
            Encoding.UTF8.GetBytes(Head),
            Encoding.UTF8.GetBytes("C60,tape,format=cassette minutes=60,,,,2,,,,,\n"),
            1_000_000
        );
        var fault = Assert.Throws<Fault>(() => OfferTable.Read(endless, "offers.csv", PartTypes.All, []));
        Assert.Contains($"row {CsvText.MostRows + 2}", fault.Message, StringComparison.Ordinal);
        Assert.True(endless.ServedBytes < 6_000_000, $"{endless.ServedBytes} bytes were read");
    }

    [Fact]
    public void A_cell_without_end_is_refused_before_it_is_held()
    {
        using var endless = new RepeatingStream(
            Encoding.UTF8.GetBytes(Head + "\""),
            Encoding.UTF8.GetBytes("aaaaaaaaaaaaaaa\n"),
            10_000_000
        );
        var fault = Assert.Throws<Fault>(() => OfferTable.Read(endless, "offers.csv", PartTypes.All, []));
        Assert.Contains("row 2, column 1: the cell has more than", fault.Message, StringComparison.Ordinal);
        Assert.True(endless.ServedBytes < 2_000_000, $"{endless.ServedBytes} bytes were read");
    }

    /// <summary>The same offers, however a spreadsheet wrote them.</summary>
    [Theory]
    [InlineData("title,kind,features,sockets,price,shipping\n\"deck, old\",cassette-deck,bias=I,line-in:rca:2,40.50,5\n")]
    [InlineData("title;kind;features;sockets;price;shipping\ndeck, old;cassette-deck;bias=I;line-in:rca:2;40,50;5,00\n")]
    [InlineData("title\tkind\tfeatures\tsockets\tprice\tshipping\r\ndeck, old\tcassette-deck\tbias=I\tline-in:rca:2\t40,50 €\t5\r\n\r\n")]
    [InlineData("title|kind|features|sockets|price|shipping\rdeck, old|cassette-deck|bias=I|line-in:rca:2|EUR 40.50|5.00\r")]
    [InlineData("\uFEFFTitle,Kind,Price,Shipping,Sockets,Features\n\"deck, old\",cassette-deck,40.5,5,line-in:rca:2,bias=I\n")]
    public void Separators_decimal_commas_and_line_ends_are_all_the_same(string table)
    {
        foreach (var encoding in new[] { new UTF8Encoding(false), (Encoding)new UnicodeEncoding(false, true) })
        {
            var offer = Assert.Single(Read([.. encoding.Preamble, .. encoding.GetBytes(table)]));
            Assert.Equal(("deck, old", 40.5m, 5m), (offer.Title, offer.Price, offer.Shipping));
            Assert.Equal(["I"], offer.Features.TapeTypes);
            Assert.Equal(2, offer.Row);
        }
    }

    /// <summary>What would be a formula in a spreadsheet is not one after export; sums stay numbers.</summary>
    [Theory]
    [InlineData("=HYPERLINK(\"x\")", "\"'=HYPERLINK(\"\"x\"\")\"")]
    [InlineData("+1", "'+1")]
    [InlineData("-1", "'-1")]
    [InlineData("@SUM(A1)", "'@SUM(A1)")]
    [InlineData("\tx", "\"'\tx\"")]
    [InlineData("deck", "deck")]
    public void Formulas_are_written_as_text(string title, string cell)
    {
        Assert.Equal(cell + ",4.5\r\n", CsvWriting.Row(title, 4.5m));
        var table = "title,kind,price,sockets\r\n" + CsvWriting.Row(title, "portable", 4m, "line-in:rca:1");
        Assert.Equal(4m, Assert.Single(Read(Encoding.UTF8.GetBytes(table))).Price);
    }

    [Fact]
    public void Columns_that_nobody_uses_are_told()
    {
        var notices = new List<Notice>();
        using var stream = new MemoryStream(
            Encoding.UTF8.GetBytes("title,kind,price,colour,features\nC60,tape,2,red,format=cassette minutes=60\n")
        );
        Assert.Single(OfferTable.Read(stream, "offers.csv", PartTypes.All, notices));
        Assert.Contains("\"colour\" is not used", Assert.Single(notices).Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("{}", "it is not a list")]
    [InlineData("[{\"title\":\"a\",\"kind\":\"tape\",\"price\":-1,\"features\":\"format=cassette minutes=60\"}]", "offer 1, price")]
    [InlineData("[{\"title\":\"a\",\"prise\":1}]", "offer 1, prise")]
    [InlineData("[{\"title\":\"a\",\n", "line 2")]
    public void JSON_that_is_broken_says_which_offer_and_field(string json, string where) =>
        Assert.Contains(
            where,
            Assert.Throws<Fault>(() => OfferJson.Parse(Encoding.UTF8.GetBytes(json), "offers.json", PartTypes.All)).Message,
            StringComparison.Ordinal
        );

    [Fact]
    public void The_templates_are_read_without_a_fault()
    {
        Assert.Equal(12, Read(Encoding.UTF8.GetBytes(KitTemplates.Offers)).Count);
        Assert.Equal(200m, KitRequestFile.Parse(Encoding.UTF8.GetBytes(KitTemplates.Request), "request.json").Money);
        Assert.Equal("deck", Assert.Single(RigFile.Parse(Encoding.UTF8.GetBytes(KitTemplates.Rig), "rig.json").Machines).Name);
    }

    private static IReadOnlyList<Offer> Read(byte[] table)
    {
        using var stream = new MemoryStream(table);
        return OfferTable.Read(stream, "offers.csv", PartTypes.All, []);
    }
}
