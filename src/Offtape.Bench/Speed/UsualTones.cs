namespace Offtape.Bench;

/// <summary>Which test tone a tone of unknown tape is likely to be.</summary>
public static class UsualTones
{
    // A machine in order is within ±1.5 % (DIN 45 500 sheet 4). Beyond, a tone may as well be another one: 3150 and 3000 Hz lie 5 % apart.
    private const double LargestErrorPercent = 1.5;

    /// <summary>
    /// Frequencies that tapes are tested with: 3150 Hz (IEC 60386), 3000 Hz (NAB, from memory), 1000 and 315 Hz and 10 kHz (level and
    /// azimuth sections of calibration tapes), 400 and 700 Hz (flux references).
    /// </summary>
    public static IReadOnlyList<double> FrequenciesHz { get; } = [315, 400, 700, 1000, 3000, 3150, 10_000];

    /// <summary>The test tone that is as near as a machine in order plays it; null where there is none. A wrong guess is worse than none.</summary>
    public static double? Near(double frequencyHz)
    {
        foreach (var usual in FrequenciesHz)
            if (Math.Abs(frequencyHz / usual - 1) * 100 <= LargestErrorPercent)
                return usual;
        return null;
    }
}
