using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Studio;

/// <summary>Interface, cable and machine as one scale.</summary>
internal static class LevelsVerb
{
    public static Verb Create()
    {
        var sounds = new Argument<string[]>("SOUND")
        {
            Description = "sounds to say it for, with --bench; files or folders of them",
            Arity = ArgumentArity.ZeroOrMore,
        };
        var bench = Quantities.Text("--bench", "FILE|DIR", "report of the machine (bench.json) that says how loud to send these sounds");
        var channel = Quantities.Whole("--channel", "N", "channel of the machine in that report; 1 unless told", 1, 64);
        var options = new AskedOptions(LevelQuestion.Fields);
        var command = new Command("levels", "Says how loud to send: interface to tape as one scale, or for one sound.")
        {
            sounds,
            bench,
            channel,
        };
        options.AddTo(command);
        return new Verb(
            command,
            "offtape levels --full-scale 18dBu --zero -10dBV --operating 250",
            (parsed, desk, cancellation) =>
            {
                if (parsed.GetValue(sounds) is { Length: > 0 } files)
                    return SoundLevels.Run(
                        files,
                        parsed.GetValue(bench)
                            ?? throw Fault.Usage(
                                "levels of a sound needs --bench",
                                "It is the bench.json that bench read wrote of the machine."
                            ),
                        parsed.GetValue(channel) ?? 1,
                        desk,
                        cancellation
                    );
                if (parsed.GetValue(bench) is not null)
                    throw Fault.Usage("--bench needs a sound", "Name the sounds that are to be sent: offtape levels kit.wav --bench deck");
                var scale = LevelQuestion.Answer(options.Read(parsed));
                var answer = new LevelsAnswer(scale.Levels, scale.There, scale.Back, LevelScale.Formula);
                desk.Result(answer, CliJsonContext.Default.LevelsAnswer, sheet => Say(scale, sheet));
                return scale.IsEnough ? ExitCode.Done : ExitCode.Incomplete;
            }
        );
    }

    private static void Say(LevelScale scale, Sheet sheet)
    {
        sheet.Table(scale.Table()).Line();
        foreach (var (words, isEnough) in scale.Rooms())
            sheet.Paragraph(words, "", isEnough ? null : sheet.Ink.Bad);
        sheet.Line().Paragraph($"{LevelScale.Formula}. {LevelScale.OfASine} {LevelScale.LineLevels}");
    }
}

/// <summary>The answer of <c>levels</c>.</summary>
internal sealed record LevelsAnswer(IReadOnlyList<LevelRow> Levels, Headroom HeadroomThere, Headroom HeadroomBack, string Formula);
