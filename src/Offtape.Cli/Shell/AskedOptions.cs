using System.CommandLine;
using System.CommandLine.Parsing;
using Offtape.Base;
using Offtape.Studio;

namespace Offtape.Cli.Shell;

/// <summary>Options made of the fields of a question.</summary>
internal sealed class AskedOptions
{
    private readonly (AskedField Field, Option Option)[] _options;

    public AskedOptions(IReadOnlyList<AskedField> fields) => _options = [.. fields.Select(f => (f, Of(f)))];

    public void AddTo(Command command)
    {
        foreach (var (_, option) in _options)
            command.Options.Add(option);
    }

    /// <summary>What was said.</summary>
    /// <exception cref="Fault">Usage: a value of a list is none.</exception>
    public Asked Read(ParseResult parsed)
    {
        var values = new Dictionary<string, object>();
        foreach (var (field, option) in _options)
        {
            if (option is Option<string[]> list)
            {
                if (parsed.GetValue(list) is { Length: > 0 } texts)
                    values[field.Name] = texts.Select(t => Read(field, t)).ToArray();
            }
            else if (parsed.GetValue((Option<object?>)option) is { } value)
                values[field.Name] = value;
        }
        return new Asked(values, Called, Verb.ShortName(parsed.CommandResult.Command));
    }

    private static string Called(AskedField field) => "--" + field.Name;

    private static object Read(AskedField field, string text) =>
        field.Read(text, Called(field), Unit(field), out var value) is { } trouble ? throw Fault.Usage(trouble) : value!;

    private static string Unit(AskedField field) => field.Unit.Replace("...", "", StringComparison.Ordinal);

    private static Option Of(AskedField field)
    {
        if (field.IsList)
        {
            var list = Quantities.Texts(Called(field), field.Unit, field.Words);
            list.Arity = ArgumentArity.ZeroOrMore;
            return list;
        }
        return new Option<object?>(Called(field))
        {
            Description = field.Words,
            HelpName = field.Unit,
            CustomParser = result =>
            {
                if (field.Read(result.Tokens[0].Value, Called(field), Unit(field), out var value) is { } trouble)
                    result.AddError(trouble);
                return value;
            },
        };
    }
}
