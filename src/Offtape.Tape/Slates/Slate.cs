using System.Security.Cryptography;
using System.Text;

namespace Offtape.Tape;

/// <summary>The marker signal of a pass: how it sounds. The detector finds it again.</summary>
public static class Slate
{
    /// <summary>The version of the signal's layout, kept in the pass sheet.</summary>
    public const int FormatVersion = SlateLayout.FormatVersion;

    public static double LengthSeconds(SlateKind kind) =>
        SlateLayout.UnitStartSeconds(SlateLayout.UnitCount(kind) - 1) + SlateLayout.UnitSeconds;

    /// <summary>Length of a slate's first unit: what is heard of it before anything repeats.</summary>
    public const double FirstUnitSeconds = SlateLayout.UnitSeconds;

    /// <summary>A number from 0 to 127 that follows from the pass's identity: enough to tell apart the few passes on one side of a tape.</summary>
    public static int ShortPassNumber(string passId) => SHA256.HashData(Encoding.UTF8.GetBytes(passId))[0] & 0x7F;

    /// <summary>The slate as mono audio with a peak of at most 1.0.</summary>
    /// <param name="code">What it says.</param>
    /// <param name="sampleRateHz">At least 16 000, so that the band fits.</param>
    public static float[] Synthesise(SlateCode code, int sampleRateHz)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(sampleRateHz, 16_000);
        ArgumentOutOfRangeException.ThrowIfNegative(code.Number);
        if (code.PassNumber is < 0 or >= SlateLayout.SlotCount)
            throw new ArgumentOutOfRangeException(nameof(code), code.PassNumber, "A short pass number lies between 0 and 127.");
        var audio = new float[(int)Math.Ceiling(LengthSeconds(code.Kind) * sampleRateHz)];
        for (var unit = 0; unit < SlateLayout.UnitCount(code.Kind); unit++)
        {
            var start = SlateLayout.UnitStartSeconds(unit);
            Add(SlateChirp.Fall, start, 1, audio, sampleRateHz);
            Add(SlateChirp.Rise, start + SlateLayout.RiseStartSeconds, 1, audio, sampleRateHz);
            // The two code chirps may stand on top of each other: half the level each.
            Add(SlateChirp.CodeFall, start + SlateLayout.SlotStartSeconds(SlateLayout.FirstSymbol(code, unit)), 0.5, audio, sampleRateHz);
            Add(SlateChirp.CodeRise, start + SlateLayout.SlotStartSeconds(code.PassNumber), 0.5, audio, sampleRateHz);
        }
        return audio;
    }

    private static void Add(SlateChirp chirp, double startSeconds, double amplitude, Span<float> audio, int sampleRateHz)
    {
        var first = (int)Math.Ceiling(startSeconds * sampleRateHz);
        var endExcl = Math.Min(audio.Length, (int)Math.Floor((startSeconds + chirp.DurationSeconds) * sampleRateHz) + 1);
        for (var i = first; i < endExcl; i++)
            audio[i] += (float)(amplitude * chirp.At((double)i / sampleRateHz - startSeconds).Real);
    }
}
