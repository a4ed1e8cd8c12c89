namespace Offtape.Bench;

/// <summary>Turning parts in words.</summary>
public static class PartNames
{
    public static string Of(TurningPart part) =>
        part switch
        {
            TurningPart.Capstan => "capstan",
            TurningPart.PinchRoller => "pinch roller",
            TurningPart.Idler => "idler",
            TurningPart.Hub => "hub with its tape",
            TurningPart.Belt => "belt",
            _ => "motor",
        };

    /// <summary>The same with "a" or "an".</summary>
    internal static string WithArticle(TurningPart part) => (part == TurningPart.Idler ? "an " : "a ") + Of(part);
}
