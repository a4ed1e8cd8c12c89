using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs;

/// <summary>A figure of tape as a verb: its fields are options, its answer a sheet.</summary>
internal static class CalculationVerb
{
    public static Verb Create(Calculation calculation)
    {
        var options = new AskedOptions(calculation.Fields);
        var command = new Command(calculation.Name, calculation.Words);
        options.AddTo(command);
        return new Verb(
            command,
            $"offtape calc {calculation.Name} {calculation.Example}",
            (parsed, desk, _) =>
            {
                var said = calculation.Answer(options.Read(parsed));
                desk.Result(CliJson.Text(said.Answer), sheet => Say(said, sheet));
                return said.IsWithin ? ExitCode.Done : ExitCode.Incomplete;
            }
        );
    }

    private static void Say(Calculated said, Sheet sheet)
    {
        foreach (var sentence in said.Lead)
            sheet.Paragraph(sentence);
        if (said.Lead.Count > 0 && (said.Facts.Count > 0 || said.Table is not null))
            sheet.Line();
        if (said.Facts.Count > 0)
            sheet.Table(["", ">"], said.Facts.Select(f => (string[])[f.Name, f.Value]));
        if (said.Table is { } table)
            sheet.Table(table);
        if (said.Verdict.Length > 0)
            sheet.Line().Paragraph(said.Verdict, "", said.IsWithin ? null : sheet.Ink.Warn);
        sheet.Line().Paragraph($"{said.Formula}. {said.Caution}".TrimEnd());
    }
}
