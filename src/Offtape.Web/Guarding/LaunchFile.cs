using System.Net;
using System.Text;

namespace Offtape.Web.Guarding;

/// <summary>
/// A small page on the disk that leads the browser to the launch address: on a command line every user of the machine could read the token.
/// Only its owner may read it, and it is deleted as soon as the token is used.
/// </summary>
internal sealed class LaunchFile(string folder)
{
    public string Path { get; } = System.IO.Path.Combine(folder, "open-offtape.html");

    public void Write(string address)
    {
        Directory.CreateDirectory(folder);
        Delete();
        var options = new FileStreamOptions { Mode = FileMode.CreateNew, Access = FileAccess.Write };
        if (!OperatingSystem.IsWindows())
            options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
        using var file = new FileStream(Path, options);
        var shown = WebUtility.HtmlEncode(address);
        file.Write(
            Encoding.UTF8.GetBytes(
                "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"referrer\" content=\"no-referrer\">"
                    + $"<meta http-equiv=\"refresh\" content=\"0;url={shown}\"><title>Opening Offtape</title></head>"
                    + $"<body><p><a href=\"{shown}\">Open Offtape</a></p></body></html>\n"
            )
        );
    }

    public void Delete()
    {
        try
        {
            File.Delete(Path);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            // A token that was used opens nothing.
        }
    }
}
