namespace Offtape.Studio;

/// <summary>Devices out of their written form.</summary>
internal static class DeviceTexts
{
    public static StudioDevice Device(DeviceText text, string usualName) =>
        new(text.Name is { Length: > 0 } name ? name : usualName, SocketWords.ParseAll(text.Sockets))
        {
            HasSafetyEarth = text.SafetyEarth,
            IsEarthLifted = text.EarthLifted,
            HasLiveChassis = text.LiveChassis,
        };

    public static double? FullScale(DeviceText text) =>
        text.FullScale is not { } level
            ? null
            : LevelWords.ParseDbu(level) ?? throw new FormatException($"\"{level}\" is not a level: write fullScale as 18dBu or 2V");
}
