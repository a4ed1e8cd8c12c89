using System.Diagnostics;
using System.Globalization;
using Microsoft.Playwright;
using Offtape.AudioFiles;

namespace Offtape.Perf.Web;

/// <summary>
/// How quickly the app answers in a real browser: the waveform of a long recording after its bytes came in, zooming and panning, and
/// listening.
/// </summary>
internal static class ListeningMeasurement
{
    private const int Turns = 60;
    private const int Starts = 15;
    private const int SampleRateHz = 48_000;

    /// <param name="args">Path of offtape.dll, built in Release; minutes of the recording, 30 unless told.</param>
    public static int Run(string[] args)
    {
        if (args.Length is 0 or > 2)
        {
            Console.Error.WriteLine("Name offtape.dll, and the minutes of the recording if not 30.");
            return 2;
        }
        var minutes = args.Length == 2 ? double.Parse(args[1], CultureInfo.InvariantCulture) : 30;
        Machine.Print();
        return Measure(args[0], minutes).GetAwaiter().GetResult();
    }

    private static async Task<int> Measure(string command, double minutes)
    {
        var desk = Directory.CreateTempSubdirectory("offtape-listening-").FullName;
        try
        {
            var recording = Path.Combine(desk, "side A.wav");
            Write(recording, minutes);
            Console.WriteLine(
                $"\nRecording: {minutes} min, stereo, 48 kHz, 24 bits, {new FileInfo(recording).Length / 1e6:F0} MB.\n\n| what | figure | wanted |\n| --- | --- | --- |"
            );
            var studio = Path.Combine(desk, "studio");
            var pass = Directory.CreateDirectory(Path.Combine(studio, "passes", "long", "sources"));
            Write(Path.Combine(pass.FullName, "kit.wav"), 0.1);
            using var process = Process.Start(
                new ProcessStartInfo("dotnet", [command, "open", "--no-browser", "--quiet", "--studio", studio])
                {
                    RedirectStandardOutput = true,
                    UseShellExecute = false,
                }
            )!;
            var address = (await process.StandardOutput.ReadLineAsync())!;
            try
            {
                await InBrowser(address, recording, process);
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

    private static async Task InBrowser(string address, string recording, Process process)
    {
        using var playwright = await Playwright.CreateAsync();
        await using var browser = await playwright.Chromium.LaunchAsync(
            new BrowserTypeLaunchOptions
            {
                ExecutablePath = "/usr/bin/chromium",
                Args = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"],
            }
        );
        var page = await browser.NewPageAsync(
            new BrowserNewPageOptions
            {
                ViewportSize = new ViewportSize { Width = 1440, Height = 900 },
            }
        );
        page.SetDefaultTimeout(300_000);
        await page.GotoAsync(address);
        await page.WaitForSelectorAsync("main[data-live=yes]");
        await page.GotoAsync(new Uri(new Uri(address), "/return").ToString());
        await page.Locator("main a[href^='/return/']").First.ClickAsync();
        await page.Locator(".drop input").First.WaitForAsync(new LocatorWaitForOptions { State = WaitForSelectorState.Attached });

        var clock = new Stopwatch();
        var arrived = new TaskCompletionSource();
        page.RequestFinished += (_, request) =>
        {
            if (request.Method == "PUT")
                arrived.TrySetResult();
        };
        // The bytes are on the disk, flushed, when the upload has its answer.
        var sending = Stopwatch.StartNew();
        await page.Locator(".drop input").First.SetInputFilesAsync(recording);
        await arrived.Task;
        clock.Start();
        process.Refresh();
        var before = process.TotalProcessorTime;
        var sent = sending.Elapsed.TotalSeconds;
        await page.Locator(".recording .wave-host[data-drawn=sharp]").WaitForAsync();
        var took = clock.Elapsed.TotalSeconds;
        process.Refresh();
        Row("waveform whole after the bytes are on the disk", $"{took:F2} s", "≤ 2 s");
        Row("processor time of the server for it", $"{(process.TotalProcessorTime - before).TotalSeconds:F2} s", "");
        Row("upload of it", $"{sent:F1} s; the server's memory at its most {PeakMegabytes(process)} MB", "");

        Row("zoom answered, median of turns of the wheel", Answer(await Turn(page, "zoom")), "≤ 50 ms");
        Row("pan answered, median", Answer(await Turn(page, "pan")), "≤ 50 ms");

        var starts = new List<double>();
        for (var i = 0; i < Starts; i++)
        {
            await page.EvaluateAsync("() => document.querySelector('hear-desk').removeAttribute('data-start-milliseconds')");
            await page.EvaluateAsync(
                "share => { const d = document.querySelector('hear-desk'); d.moveTo(share * d.view.seconds); }",
                (i + 0.5) / Starts
            );
            await page.Locator("hear-desk [data-part=play]").First.ClickAsync();
            await page.Locator("hear-desk[data-start-milliseconds]").First.WaitForAsync();
            starts.Add(
                double.Parse(
                    (await page.Locator("hear-desk").First.GetAttributeAsync("data-start-milliseconds"))!,
                    CultureInfo.InvariantCulture
                )
            );
            await page.Locator("hear-desk [data-part=play]").First.ClickAsync();
        }
        Row("listening starts, the first time", $"{starts[0]:F0} ms", "≤ 300 ms");
        Row($"listening starts, at {Starts} places of it", $"median {Median(starts):F0} ms, worst {starts.Max():F0} ms", "≤ 300 ms");
        Row("the server's memory at its most, after all that", $"{PeakMegabytes(process)} MB", "");
    }

    // In the page: from a turn of the wheel to the picture, and to the picture as fine as it gets.
    private static Task<double[][]> Turn(IPage page, string kind) =>
        page.EvaluateAsync<double[][]>(
            """
            async ([kind, turns]) => {
                const host = document.querySelector('.recording .wave-host');
                const box = host.querySelector('.wave-box');
                const place = box.getBoundingClientRect();
                const drawn = sharp => new Promise(done => {
                    const see = event => { if (!sharp || event.detail.isSharp) { host.removeEventListener('wave-drawn', see); done(performance.now()); } };
                    host.addEventListener('wave-drawn', see);
                });
                const [first, fine] = [[], []];
                let seed = 1;
                const dice = () => (seed = seed * 16807 % 2147483647) / 2147483647;
                for (let i = 0; i < turns; i++) {
                    const closer = i % 20 < 14 ? -300 : 700;
                    const options = kind === 'zoom' ? { deltaY: closer } : { deltaX: dice() < 0.5 ? -400 : 400 };
                    const began = performance.now();
                    const [a, b] = [drawn(false), drawn(true)];
                    box.dispatchEvent(new WheelEvent('wheel', { bubbles: true, cancelable: true, clientX: place.left + place.width * (0.2 + 0.6 * dice()), clientY: place.top + 50, ...options }));
                    first.push(await a - began);
                    fine.push(await Promise.race([b, new Promise(r => setTimeout(() => r(began + 5000), 5000))]) - began);
                    await new Promise(next => setTimeout(next, 30));
                }
                return [first, fine];
            }
            """,
            new object[] { kind, Turns }
        );

    private static string Answer(double[][] turns) => $"{Median(turns[0]):F0} ms (as fine as it gets: {Median(turns[1]):F0} ms)";

    private static double Median(IEnumerable<double> values)
    {
        var sorted = values.Order().ToList();
        return sorted[sorted.Count / 2];
    }

    private static void Row(string what, string figure, string wanted) => Console.WriteLine($"| {what} | {figure} | {wanted} |");

    private static string PeakMegabytes(Process process)
    {
        process.Refresh();
        return (process.PeakWorkingSet64 / 1e6).ToString("F0", CultureInfo.InvariantCulture);
    }

    private static void Write(string path, double minutes)
    {
        using var writer = AudioWriter.Create(path, new AudioFormat(SampleRateHz, 2, SampleEncoding.Pcm24));
        var dice = new Random(1);
        var block = new float[2 * SampleRateHz];
        for (var second = 0; second < minutes * 60; second++)
        {
            for (var i = 0; i < SampleRateHz; i++)
            {
                var t = second + (double)i / SampleRateHz;
                var tone = 0.3 * Math.Sin(2 * Math.PI * 196 * t) * Math.Exp(-3 * (t % 0.714));
                block[2 * i] = (float)(tone + 0.01 * (dice.NextDouble() - 0.5));
                block[2 * i + 1] = (float)(0.7 * tone + 0.01 * (dice.NextDouble() - 0.5));
            }
            writer.Write(block);
        }
        writer.Complete();
    }
}
