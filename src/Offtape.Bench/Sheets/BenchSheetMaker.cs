using System.Security.Cryptography;
using System.Text;
using Offtape.Base;
using Offtape.Passes;
using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>Puts the parts of a check signal in time, with slates between their groups.</summary>
public static class BenchSheetMaker
{
    /// <summary>Peak of the slates against operating level, as in a send: clear of saturation and of the noise.</summary>
    public const double SlateLevelDb = -12;

    // In tenths of a second, so that every event stands on a whole frame of every usual rate.
    private const int QuietTenths = 30;
    private const int ClearTenths = 10;
    private const int PauseTenths = 10;

    /// <summary>The hand that ends the recording over of the erasure stretch may be late, and the tail slate is to survive it.</summary>
    private const int AfterErasureTenths = 40;
    private const int EndTenths = 20;

    /// <exception cref="Fault">Usage: the level is too high or too low, the rate too low, a part that there is not.</exception>
    public static BenchSheet Make(BenchSheetRequest request)
    {
        Check(request);
        var groups = BenchParts.Groups(request.SampleRateHz, request.ChannelCount, request.Edition);
        List<BenchPart> known = [.. groups.SelectMany(g => g)];
        if (BenchPartNames.FirstUnknown(known, request.Parts) is { } word)
            throw Fault.Usage(
                $"The check signal has no part \"{word}\"",
                $"There are {Words.List([.. BenchPartNames.Kinds.Select(k => k.Word)])}, and by name {Words.List([.. known.Select(p => p.Name)])}."
            );
        var sheet = Lay(
            [.. groups.Select(g => g.Where(p => BenchPartNames.IsAsked(p, request.Parts)).ToArray()).Where(g => g.Length > 0)],
            request
        );
        CheckPeak(sheet);
        return sheet;
    }

    private static BenchSheet Lay(IReadOnlyList<BenchPart[]> groups, BenchSheetRequest request)
    {
        var parts = new List<BenchPart>();
        var slates = new List<SheetSlate>();
        int[] all = [.. Enumerable.Range(1, request.ChannelCount)];
        var at = QuietTenths;
        for (var g = 0; g <= groups.Count; g++)
        {
            var kind =
                g == 0 ? SlateKind.Head
                : g < groups.Count ? SlateKind.Gap
                : SlateKind.Tail;
            slates.Add(
                new SheetSlate
                {
                    Kind = kind,
                    Number = g,
                    StartSeconds = Seconds(at),
                    LengthSeconds = Slate.LengthSeconds(kind),
                    Tracks = all,
                }
            );
            at += Tenths(Slate.LengthSeconds(kind)) + ClearTenths;
            if (g == groups.Count)
                break;
            foreach (var part in groups[g])
            {
                parts.Add(part with { StartSeconds = Seconds(at) });
                at += Tenths(part.LengthSeconds) + (part.Kind == BenchPartKind.Erasure ? AfterErasureTenths : PauseTenths);
            }
        }
        return new BenchSheet
        {
            FormatVersion = BenchSheet.CurrentFormatVersion,
            SheetId = Identity(parts, request),
            SampleRateHz = request.SampleRateHz,
            ChannelCount = request.ChannelCount,
            OperatingLevelDbfs = request.LevelDbfs,
            LengthSeconds = Seconds(at - ClearTenths + EndTenths),
            Parts = parts,
            Slates = slates,
        };
    }

    private static int Tenths(double seconds) => (int)Math.Ceiling(seconds * 10 - 1e-9);

    private static double Seconds(int tenths) => tenths / 10.0;

    // The same signal has the same identity whenever and wherever it is made, and at whatever rate: a capture is then read without its sheet.
    private static string Identity(IReadOnlyList<BenchPart> parts, BenchSheetRequest request)
    {
        var text = new StringBuilder(
            $"offtape check signal {BenchSheet.CurrentFormatVersion} {request.ChannelCount} {request.LevelDbfs:0.00}"
        );
        foreach (var part in parts)
            text.Append($"\n{part.Name} {part.StartSeconds:0.0} {part.LengthSeconds:0.000000} {part.ToHz:0} {part.TonesHz.Count}");
        return "bench-" + Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(text.ToString())))[..12];
    }

    private static void Check(BenchSheetRequest request)
    {
        if (request.SampleRateHz < BenchSheetRequest.LowestSampleRateHz || !SampleRate.IsSupported(request.SampleRateHz))
            throw Fault.Usage(
                $"A check signal has a sample rate from {BenchSheetRequest.LowestSampleRateHz} to {SampleRate.HighestHz} Hz, not {request.SampleRateHz}"
            );
        if (request.ChannelCount is < 1 or > BenchSheetRequest.MostChannels)
            throw Fault.Usage($"A check signal has 1 to {BenchSheetRequest.MostChannels} channels, not {request.ChannelCount}");
        if (!(request.LevelDbfs >= BenchSheetRequest.LowestLevelDbfs && request.LevelDbfs <= 0))
            throw Fault.Usage(
                $"The operating level lies between {Words.Number(BenchSheetRequest.LowestLevelDbfs, 0)} and 0 dBFS, not at "
                    + $"{Words.Number(request.LevelDbfs, 1)}"
            );
    }

    private static void CheckPeak(BenchSheet sheet)
    {
        var loudest = sheet.Parts.MaxBy(PartSound.PeakDb)!;
        var peakDb = PartSound.PeakDb(loudest);
        if (sheet.OperatingLevelDbfs + peakDb > BenchSheetRequest.HighestPeakDbfs + 1e-9)
            throw Fault.Usage(
                $"With operating level at {Words.Number(sheet.OperatingLevelDbfs, 1)} dBFS, {loudest.Name} would peak at "
                    + $"{Words.Signed(sheet.OperatingLevelDbfs + peakDb, 1)} dBFS and clip",
                $"Give --level {Words.Number(BenchSheetRequest.HighestPeakDbfs - peakDb, 1)} or lower, or leave loud parts out with --parts."
            );
    }
}
