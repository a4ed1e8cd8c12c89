namespace Offtape.Web.Serving;

/// <summary>A screen that stands in the navigation.</summary>
/// <param name="Name">One word of the trade.</param>
/// <param name="Address">Where it is.</param>
public sealed record StudioRoom(string Name, string Address)
{
    /// <summary>Screens that are built, in the order of the job: kit, patch, levels, bench, pass, return, tapes, shape, pack, log; and figures for any of them.</summary>
    public static IReadOnlyList<StudioRoom> All { get; } =
    [
        new("Kit", "/kit"),
        new("Patch", "/patch"),
        new("Levels", "/levels"),
        new("Bench", "/bench"),
        new("Pass", "/pass"),
        new("Return", "/return"),
        new("Tapes", "/tapes"),
        new("Log", "/log"),
        new("Calc", "/calc"),
    ];
}
