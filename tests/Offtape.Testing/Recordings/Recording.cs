namespace Offtape.Testing;

/// <summary>What kind of sound a recording is, as far as finding it again goes.</summary>
public enum RecordingKind
{
    /// <summary>Struck, short, broad-band.</summary>
    Drum,

    /// <summary>Plucked or hammered strings and bars: a sharp start, then a pitch that dies away.</summary>
    Plucked,

    /// <summary>Blown, bowed, rubbed: narrow bands that stay, no sharp start.</summary>
    Sustained,

    /// <summary>Most of it below 200 Hz.</summary>
    Bass,

    /// <summary>Speech, singing, and what moves as they do.</summary>
    VoiceLike,
}

/// <summary>One real recording that a Debian package carries.</summary>
/// <param name="Name">Kit and file: <c>black-pearl.PearlSnare-Hard</c>.</param>
/// <param name="Kit">Recordings of one kit were made together: same instrument or same set, same room, same microphones.</param>
/// <param name="Package">The Debian package to install when the file is missing.</param>
/// <param name="Licence">Of the audio, as the package or the file's own notes say.</param>
/// <param name="PatchSample">Which sample of a patch file, from 0; null: the file is an ordinary audio file.</param>
public sealed record Recording(
    string Name,
    RecordingKind Kind,
    string Kit,
    string Package,
    string Path,
    string Licence,
    int? PatchSample = null
);

/// <summary>Two hits of one drum, or one note of two like instruments: as near as two different recordings come.</summary>
public sealed record NearTwins(string First, string Second);
