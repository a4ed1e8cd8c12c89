using System.Runtime.InteropServices;
using Offtape.Base;

namespace Offtape.AudioFiles;

/// <summary>
/// libsndfile, found when the program runs: FLAC, MP3, Ogg Vorbis, Opus, CAF and W64 are read and written through it. Its interface is
/// that of sndfile.h, version 1.0.18 and later; MP3 needs 1.1.
/// </summary>
internal sealed class CodecLibrary
{
    private static readonly Lazy<CodecLibrary?> InstalledOnce = new(() => Find(UsualNames()));

    private readonly nint _library;

    private CodecLibrary(nint library)
    {
        _library = library;
        OpenVirtual = Function<OpenVirtualFunction>("sf_open_virtual");
        Close = Function<CloseFunction>("sf_close");
        Seek = Function<SeekFunction>("sf_seek");
        ReadFloat = Function<ReadFloatFunction>("sf_readf_float");
        ReadDouble = Function<ReadDoubleFunction>("sf_readf_double");
        WriteInt = Function<WriteIntFunction>("sf_writef_int");
        WriteFloat = Function<WriteFloatFunction>("sf_writef_float");
        WriteDouble = Function<WriteDoubleFunction>("sf_writef_double");
        Command = Function<CommandFunction>("sf_command");
        ErrorText = Function<ErrorTextFunction>("sf_strerror");
    }

    internal delegate nint OpenVirtualFunction(ref CodecCallbacks callbacks, int mode, ref CodecInfo info, nint user);

    internal delegate int CloseFunction(nint file);

    internal delegate long SeekFunction(nint file, long frames, int whence);

    internal delegate long ReadFloatFunction(nint file, ref float interleaved, long frames);

    internal delegate long ReadDoubleFunction(nint file, ref double interleaved, long frames);

    internal delegate long WriteIntFunction(nint file, ref readonly int interleaved, long frames);

    internal delegate long WriteFloatFunction(nint file, ref readonly float interleaved, long frames);

    internal delegate long WriteDoubleFunction(nint file, ref readonly double interleaved, long frames);

    internal delegate int CommandFunction(nint file, int command, nint data, int size);

    internal delegate nint ErrorTextFunction(nint file);

    /// <summary>The library as it is installed; null when it is not. Looked for once.</summary>
    public static CodecLibrary? Installed => InstalledOnce.Value;

    public OpenVirtualFunction OpenVirtual { get; }

    public CloseFunction Close { get; }

    public SeekFunction Seek { get; }

    public ReadFloatFunction ReadFloat { get; }

    public ReadDoubleFunction ReadDouble { get; }

    public WriteIntFunction WriteInt { get; }

    public WriteFloatFunction WriteFloat { get; }

    public WriteDoubleFunction WriteDouble { get; }

    public CommandFunction Command { get; }

    public ErrorTextFunction ErrorText { get; }

    /// <summary>How the library is got, on each system, in one sentence.</summary>
    public static string HowToGet =>
        "Install it: apt install libsndfile1 (Debian, Ubuntu), dnf install libsndfile (Fedora), brew install libsndfile (macOS), "
        + "or put sndfile.dll of its Windows release beside offtape.exe.";

    /// <summary>The first of these libraries that can be loaded; null when none can.</summary>
    public static CodecLibrary? Find(IEnumerable<string> names)
    {
        foreach (var name in names)
        {
            if (!NativeLibrary.TryLoad(name, out var library))
                continue;
            try
            {
                return new CodecLibrary(library);
            }
            catch (EntryPointNotFoundException)
            {
                // Something else of that name, or a release older than 2009.
                NativeLibrary.Free(library);
            }
        }
        return null;
    }

    /// <summary>What a file's last error was, in the library's words.</summary>
    public string LastError(nint file) => (Marshal.PtrToStringUTF8(ErrorText(file)) ?? "unknown error").TrimEnd('.', ' ');

    internal static Fault MissingForReading(string path, string kind) =>
        Fault.Input(path, $"it is {kind}, for which libsndfile is needed, and that is not installed", null, HowToGet);

    internal static Fault MissingForWriting(string path) =>
        Fault.Output(path, "for this kind of file libsndfile is needed, and that is not installed", HowToGet + " Or write a .wav.");

    private static IEnumerable<string> UsualNames()
    {
        if (OperatingSystem.IsWindows())
            return from name in (string[])["sndfile.dll", "libsndfile-1.dll", "libsndfile.dll"]
                from folder in (string[])[AppContext.BaseDirectory, ""]
                select Path.Combine(folder, name);
        if (OperatingSystem.IsMacOS())
            return from folder in (string[])["", "/opt/homebrew/lib/", "/usr/local/lib/", "/opt/local/lib/"]
                from name in (string[])["libsndfile.1.dylib", "libsndfile.dylib"]
                select folder + name;
        return ["libsndfile.so.1", "libsndfile.so"];
    }

    private T Function<T>(string name)
        where T : Delegate => Marshal.GetDelegateForFunctionPointer<T>(NativeLibrary.GetExport(_library, name));
}
