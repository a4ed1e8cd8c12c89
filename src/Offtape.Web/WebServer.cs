using System.Net;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;
using Microsoft.AspNetCore.Server.Kestrel.Core;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using Offtape.Base;
using Offtape.Web.Asking;
using Offtape.Web.Benching;
using Offtape.Web.Bringing;
using Offtape.Web.Components;
using Offtape.Web.Folders;
using Offtape.Web.Guarding;
using Offtape.Web.Jobs;
using Offtape.Web.Kitting;
using Offtape.Web.Levelling;
using Offtape.Web.Listening;
using Offtape.Web.Logging;
using Offtape.Web.Printing;
using Offtape.Web.Serving;
using Offtape.Web.Sounds;
using Offtape.Web.Taping;
using Offtape.Web.Uploads;
using Offtape.Web.Waves;

namespace Offtape.Web;

/// <summary>The app, served on this machine's loopback addresses and nowhere else.</summary>
public sealed class WebServer : IAsyncDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(2);
    private readonly WebApplication _app;
    private readonly StudioFolder _studio;
    private readonly JobDesk _jobs;
    private readonly LaunchFile _file;

    private WebServer(WebApplication app, StudioFolder studio, JobDesk jobs, LaunchFile file, Addresses addresses, LaunchToken launch)
    {
        (_app, _studio, _jobs, _file) = (app, studio, jobs, file);
        Address = addresses.Root;
        LaunchAddress = $"{addresses.Root}{SessionGuard.LaunchPath}?{SessionGuard.LaunchKey}={launch.Text}";
    }

    /// <summary>Where the app is; a browser without a session is not let in there.</summary>
    public string Address { get; }

    /// <summary>Lets one browser in, once. It is a secret: it belongs on no command line and in no log.</summary>
    public string LaunchAddress { get; }

    /// <summary>The folder that holds the work.</summary>
    public string StudioFolder => _studio.Root;

    /// <summary>Writes the file that leads a browser to the launch address; only its owner may read it, and it goes once it was used.</summary>
    /// <returns>Its path.</returns>
    /// <exception cref="Fault">It cannot be written.</exception>
    public string WriteLaunchFile()
    {
        try
        {
            _file.Write(LaunchAddress);
            return _file.Path;
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromOutputError(_file.Path, error);
        }
    }

    /// <summary>Opens the studio and begins to listen.</summary>
    /// <exception cref="Fault">The studio cannot be opened, or the port is taken.</exception>
    public static async Task<WebServer> StartAsync(WebOptions options, CancellationToken cancellation = default)
    {
        var studio = Folders.StudioFolder.Open(options.StudioFolder);
        try
        {
            var port = LoopbackPort.Find(options.Port);
            var addresses = new Addresses(port.Number);
            var launch = new LaunchToken();
            var file = new LaunchFile(studio.Own);
            var sessions = new Sessions(Path.Combine(studio.Own, Sessions.FileName), port.Number, options.Clock);
            var jobs = new JobDesk(studio.Own, options.Clock, options.OnError);
            var app = Build(options, studio, port, addresses, launch, file, sessions, jobs);
            try
            {
                await app.StartAsync(cancellation);
            }
            catch (IOException error)
            {
                await app.DisposeAsync();
                throw Fault.Usage($"Port {port.Number} cannot be listened on: {error.Message.TrimEnd('.')}", "Choose another with --port.");
            }
            return new WebServer(app, studio, jobs, file, addresses, launch);
        }
        catch
        {
            studio.Dispose();
            throw;
        }
    }

    /// <summary>Stops what runs, waits for it, and closes the studio.</summary>
    public async ValueTask DisposeAsync()
    {
        _file.Delete();
        using (var patience = new CancellationTokenSource(Patience))
            await _app.StopAsync(patience.Token);
        await _jobs.DisposeAsync();
        await _app.DisposeAsync();
        _studio.Dispose();
    }

    private static WebApplication Build(
        WebOptions options,
        StudioFolder studio,
        LoopbackPort port,
        Addresses addresses,
        LaunchToken launch,
        LaunchFile file,
        Sessions sessions,
        JobDesk jobs
    )
    {
        // The empty builder reads no environment and no settings file: nothing outside can widen where this listens.
        var builder = WebApplication.CreateEmptyBuilder(
            new WebApplicationOptions
            {
                ContentRootPath = AppContext.BaseDirectory,
                EnvironmentName = Environments.Production,
                ApplicationName = "Offtape",
            }
        );
        if (options.OnError is { } onError)
        {
            builder.Logging.AddProvider(new ErrorsOnly(onError));
            // Answers that are kept nowhere anyway: its warning would come with every page.
            builder.Logging.AddFilter("Microsoft.AspNetCore.Antiforgery", LogLevel.Error);
        }
        builder.WebHost.UseKestrelCore();
        builder.WebHost.ConfigureKestrel(kestrel =>
        {
            kestrel.AddServerHeader = false;
            // A body is read only where an endpoint says how much.
            kestrel.Limits.MaxRequestBodySize = 1 << 20;
            kestrel.Listen(IPAddress.Loopback, port.Number, l => l.Protocols = HttpProtocols.Http1);
            if (port.HasIPv6)
                kestrel.Listen(IPAddress.IPv6Loopback, port.Number, l => l.Protocols = HttpProtocols.Http1);
        });
        var services = builder.Services;
        services.AddSingleton(options).AddSingleton(studio).AddSingleton(addresses).AddSingleton(launch).AddSingleton(file);
        services.AddSingleton(sessions).AddSingleton(jobs).AddSingleton(options.Clock).AddSingleton<Assets>();
        services.AddSingleton<FileShelf>().AddSingleton<PassBook>().AddSingleton<UploadDesk>();
        services.AddSingleton<BenchBook>().AddSingleton<BenchDesk>();
        services.AddSingleton(p => new SoundBook(p.GetRequiredService<WaveBook>()));
        services.AddSingleton<WaveBook>().AddSingleton<HearingDesk>().AddSingleton<BlindDesk>();
        services.AddSingleton<LogDesk>().AddSingleton<SendDesk>().AddSingleton<ReturnDesk>().AddSingleton<DemoDesk>();
        services.AddSingleton<KitBook>();
        services.AddSingleton<TapeDesk>();
        services.AddSingleton<TypedBook>().AddSingleton<LookDesk>().AddSingleton<LevelDesk>();
        services
            .AddSingleton<LogReader>()
            .AddSingleton<FileQuestion>()
            .AddSingleton<RemovalDesk>()
            .AddSingleton<VerifyDesk>()
            .AddSingleton<RebuildDesk>();
        services.AddRoutingCore();
        // Keys live as long as the program: nothing it signs is worth more, and nothing is left in the user's home.
        services.AddDataProtection().UseEphemeralDataProtectionProvider();
        services.AddAntiforgery(antiforgery =>
        {
            antiforgery.Cookie.Name = $"{sessions.CookieName}-form";
            antiforgery.Cookie.SameSite = SameSiteMode.Strict;
            antiforgery.Cookie.HttpOnly = true;
            antiforgery.HeaderName = "X-Offtape-Form";
            antiforgery.SuppressXFrameOptionsHeader = true;
        });
        services
            .AddRazorComponents()
            .AddInteractiveServerComponents(circuit =>
            {
                circuit.DetailedErrors = false;
                circuit.DisconnectedCircuitMaxRetained = 20;
            });
        var app = builder.Build();
        app.UseMiddleware<HostGuard>();
        app.UseMiddleware<SafetyHeaders>();
        app.UseMiddleware<OriginGuard>();
        // The style sheet alone is for everybody: the page that turns a browser away is drawn with it.
        app.MapWhenStyle();
        app.UseMiddleware<SessionGuard>();
        app.UseRouting();
        app.UseWebSockets();
        app.UseAntiforgery();
        var assets = app.Services.GetRequiredService<Assets>();
        foreach (var path in assets.Paths)
            app.MapMethods(path, [HttpMethods.Get, HttpMethods.Head], assets.Serve);
        app.MapGet("/alive", () => Results.NoContent());
        app.MapUploads();
        app.MapSounds();
        app.MapWaves();
        app.MapHearing();
        app.MapKept();
        app.MapSheets();
        app.MapBoxes();
        app.MapRazorComponents<App>()
            .AddInteractiveServerRenderMode(mode =>
            {
                // The policy of every answer says it already, and more strictly.
                mode.ContentSecurityFrameAncestorsPolicy = null;
            });
        return app;
    }
}

file static class StyleForAll
{
    public static void MapWhenStyle(this IApplicationBuilder app) =>
        app.MapWhen(
            context =>
                context.Request.Path == Assets.StylePath
                && (HttpMethods.IsGet(context.Request.Method) || HttpMethods.IsHead(context.Request.Method)),
            branch => branch.Run(branch.ApplicationServices.GetRequiredService<Assets>().Serve)
        );
}
