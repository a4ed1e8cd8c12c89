using System.Diagnostics;
using System.Net;
using System.Net.Http.Json;
using System.Text.Json;

namespace Offtape.Perf.Web;

/// <summary>How much memory the app takes while a very large recording comes in.</summary>
internal static class UploadMeasurement
{
    private const long Bytes = (4L << 30) + 1024;

    /// <param name="args">Path of offtape.dll, built in Release.</param>
    public static int Run(string[] args)
    {
        if (args.Length != 1)
        {
            Console.Error.WriteLine("Name offtape.dll.");
            return 2;
        }
        Machine.Print();
        return Measure(args[0]).GetAwaiter().GetResult();
    }

    private static async Task<int> Measure(string command)
    {
        var desk = Directory.CreateTempSubdirectory("offtape-upload-").FullName;
        try
        {
            // Of a recorder that died: its header knows no length. What is not written takes no room on the disk it is read from.
            var recording = Path.Combine(desk, "side A.wav");
            await using (var file = new FileStream(recording, FileMode.CreateNew))
            {
                byte[] head =
                [
                    .. "RIFF\xff\xff\xff\xffWAVEfmt \x10\0\0\0\x01\0\x02\0\x80\xbb\0\0\0\x65\x04\0\x06\0\x18\0data\xff\xff\xff\xff".Select(
                        c => (byte)c
                    ),
                ];
                await file.WriteAsync(head);
                file.SetLength(Bytes);
            }
            var studio = Path.Combine(desk, "studio");
            using var process = Process.Start(
                new ProcessStartInfo("dotnet", [command, "open", "--no-browser", "--quiet", "--studio", studio])
                {
                    RedirectStandardOutput = true,
                    UseShellExecute = false,
                }
            )!;
            try
            {
                var address = new Uri((await process.StandardOutput.ReadLineAsync())!);
                await Send(address, recording, process);
            }
            finally
            {
                process.Kill();
                await process.WaitForExitAsync();
            }
            return 0;
        }
        finally
        {
            Directory.Delete(desk, recursive: true);
        }
    }

    private static async Task Send(Uri address, string recording, Process process)
    {
        using var browser = new HttpClient(new HttpClientHandler { CookieContainer = new CookieContainer() })
        {
            Timeout = TimeSpan.FromMinutes(20),
        };
        await browser.GetStringAsync(address);
        var page = await browser.GetStringAsync(new Uri(address, "/"));
        browser.DefaultRequestHeaders.Add("X-Offtape-Form", page.Split("name=\"offtape-form\" content=\"")[1].Split('"')[0]);
        var asked = await browser.PostAsJsonAsync(
            new Uri(address, "/uploads"),
            new
            {
                pass = "new",
                place = "source",
                files = new[] { new { name = "side A.wav", size = Bytes } },
            }
        );
        var id = (await asked.Content.ReadFromJsonAsync<JsonElement>()).GetProperty("ids")[0].GetString();
        process.Refresh();
        var before = process.WorkingSet64;
        var clock = Stopwatch.StartNew();
        await using var file = new FileStream(recording, FileMode.Open, FileAccess.Read, FileShare.Read, 1 << 17);
        using var answer = await browser.PutAsync(new Uri(address, $"/uploads/{id}"), new StreamContent(file, 1 << 17));
        process.Refresh();
        Console.WriteLine("\n| what | figure |\n| --- | --- |");
        Console.WriteLine($"| size | {Bytes} bytes |\n| answer | {(int)answer.StatusCode} |\n| time | {clock.Elapsed.TotalSeconds:F1} s |");
        Console.WriteLine($"| memory before, and at its most | {before / 1e6:F0} MB, {process.PeakWorkingSet64 / 1e6:F0} MB |");
    }
}
