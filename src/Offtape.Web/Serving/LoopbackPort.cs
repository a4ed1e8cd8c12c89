using System.Net;
using System.Net.Sockets;
using Offtape.Base;

namespace Offtape.Web.Serving;

/// <summary>A port that is free on the loopback addresses of this machine.</summary>
/// <param name="Number">The port.</param>
/// <param name="HasIPv6">Whether this machine has ::1 as well.</param>
internal readonly record struct LoopbackPort(int Number, bool HasIPv6)
{
    private const int Tries = 20;

    /// <exception cref="Fault">The port that was asked for is taken.</exception>
    public static LoopbackPort Find(int? asked)
    {
        var hasIPv6 = Socket.OSSupportsIPv6 && CanListen(IPAddress.IPv6Loopback, 0) is not null;
        if (asked is { } port)
            return IsFree(port, hasIPv6)
                ? new LoopbackPort(port, hasIPv6)
                : throw Fault.Usage(
                    $"Port {port} is taken by another program, or may not be used",
                    "Choose another with --port, or leave it out."
                );
        if (IsFree(WebOptions.UsualPort, hasIPv6))
            return new LoopbackPort(WebOptions.UsualPort, hasIPv6);
        for (var i = 0; i < Tries; i++)
        {
            if (CanListen(IPAddress.Loopback, 0) is { } free && IsFree(free, hasIPv6))
                return new LoopbackPort(free, hasIPv6);
        }
        throw Fault.Usage("No port is free on this machine", "Name one with --port.");
    }

    private static bool IsFree(int port, bool hasIPv6) =>
        CanListen(IPAddress.Loopback, port) is not null && (!hasIPv6 || CanListen(IPAddress.IPv6Loopback, port) is not null);

    private static int? CanListen(IPAddress address, int port)
    {
        try
        {
            using var socket = new Socket(address.AddressFamily, SocketType.Stream, ProtocolType.Tcp);
            // As the server itself does on Unix: a connection that is still closing from the last run is no obstacle.
            if (!OperatingSystem.IsWindows())
                socket.SetSocketOption(SocketOptionLevel.Socket, SocketOptionName.ReuseAddress, true);
            socket.Bind(new IPEndPoint(address, port));
            socket.Listen(1);
            return ((IPEndPoint)socket.LocalEndPoint!).Port;
        }
        catch (SocketException)
        {
            return null;
        }
    }
}
