using System.Globalization;
using Offtape.Base;

namespace Offtape.Studio;

/// <summary>
/// Sockets as they are written in files and tables: what it does, its shape, how many channels, and what is not usual about it, with colons
/// between: <c>line-out:trs:8:+4:active</c>, <c>line-in:rca:2</c>, <c>tape-din:din5:2</c>, <c>mic-in:mini:1:alc:plug-in-power</c>.
/// </summary>
public static class SocketWords
{
    private const int MostChannels = 64;

    /// <summary>What a socket can do, as it is written.</summary>
    public static IReadOnlyList<string> Uses { get; } =
    ["line-out", "line-in", "tape-din", "amp-din", "mic-in", "instrument-in", "headphone-out", "speaker-out"];

    /// <summary>Reads several ports with ; between them.</summary>
    /// <exception cref="FormatException">One of them is not understood; the message says what and what could stand there.</exception>
    public static IReadOnlyList<Port> ParseAll(string text) => ParseAll(text.Split(';').Where(t => t.Trim().Length > 0));

    /// <inheritdoc cref="ParseAll(string)"/>
    public static IReadOnlyList<Port> ParseAll(IEnumerable<string> texts)
    {
        var ports = texts.Select(Parse).ToArray();
        if (ports.GroupBy(p => p.Name).FirstOrDefault(g => g.Count() > 1) is { } twice)
            throw new FormatException($"two ports are called \"{twice.Key}\"; give one a name of its own with :name=...");
        return ports;
    }

    /// <summary>Reads one port.</summary>
    /// <exception cref="FormatException">It is not understood.</exception>
    public static Port Parse(string text)
    {
        var words = text.Split(':').Select(w => w.Trim()).ToArray();
        if (words.Length < 3)
            throw new FormatException(
                $"\"{text.Trim()}\" is not a socket: write what it does, its shape and its channels, as line-in:rca:2"
            );
        var use = words[0].ToLowerInvariant();
        if (!Uses.Contains(use))
            throw new FormatException($"\"{words[0]}\" is not what a socket does; it is one of {string.Join(", ", Uses)}");
        var shape =
            PlugShapes.Find(words[1])
            ?? throw new FormatException(
                $"\"{words[1]}\" is not a shape; it is one of {string.Join(", ", PlugShapes.All.Select(s => s.Id))}"
            );
        if (!int.TryParse(words[2], NumberStyles.None, CultureInfo.InvariantCulture, out var channels) || channels is < 1 or > MostChannels)
            throw new FormatException($"\"{words[2]}\" is not a number of channels from 1 to {MostChannels}");
        return Build(use, shape, channels, SocketOptions.Parse(words[3..]));
    }

    private static Port Build(string use, PlugShape shape, int channels, SocketOptions options)
    {
        var name = options.Name ?? use.Replace('-', ' ');
        if (use is "tape-din" or "amp-din")
            return new Port(name, [Din(name, use == "tape-din", shape, channels, options)]);
        if (shape.ContactDegrees.Count > 0)
            throw new FormatException($"a DIN socket is written tape-din (on a recorder) or amp-din (on an amplifier), not {use}");
        var isOut = use.EndsWith("-out", StringComparison.Ordinal);
        var kind = use switch
        {
            "mic-in" => SignalKind.Microphone,
            "instrument-in" => SignalKind.Instrument,
            "headphone-out" => SignalKind.Headphone,
            "speaker-out" => SignalKind.Speaker,
            _ => SignalKind.Line,
        };
        var isThreePole = shape == PlugShapes.JackStereo || shape == PlugShapes.MiniStereo;
        var isStereo = isThreePole && (options.IsStereo || kind == SignalKind.Headphone || shape == PlugShapes.MiniStereo && channels == 2);
        if (options.IsStereo && !isThreePole)
            throw new FormatException($"{shape.Words} has no contact for a second channel");
        if (isStereo && channels % 2 != 0)
            throw new FormatException("stereo sockets have an even number of channels");
        var standard = options.Standard ?? Usual(kind, shape);
        var canBalance = !isStereo && (isThreePole || shape == PlugShapes.Xlr);
        if (options.Balance is not (null or Balance.Unbalanced) && !canBalance)
            throw new FormatException($"{shape.Words} with one channel for each contact cannot be balanced");
        var balance = canBalance ? options.Balance ?? Balance.Active : Balance.Unbalanced;
        var gender = shape == PlugShapes.Xlr && isOut || shape == PlugShapes.BareWire ? PlugGender.Plug : PlugGender.Socket;
        var sockets = new List<Socket>();
        for (var channel = 1; channel <= channels; channel += isStereo ? 2 : 1)
        {
            SocketLane[] lanes = isStereo
                ? [Lane(channel, "tip"), Lane(channel + 1, "ring")]
                : [Lane(channel, shape == PlugShapes.Xlr ? "2" : shape.Contacts[0])];
            var number = isStereo
                ? channels == 2
                    ? ""
                    : $" {channel}-{channel + 1}"
                : channels == 1
                    ? ""
                    : $" {channel}";
            sockets.Add(new Socket(name + number, shape, gender, lanes));
        }
        return new Port(name, sockets);

        SocketLane Lane(int channel, string hot)
        {
            var cold =
                balance == Balance.Unbalanced ? null
                : shape == PlugShapes.Xlr ? "3"
                : "ring";
            var ground = shape == PlugShapes.Xlr ? "1" : shape.Contacts[^1];
            return options.Fill(
                new SocketLane(isOut ? Flow.Out : Flow.In, channel, kind, hot, cold, ground)
                {
                    NominalDbu = standard.NominalDbu,
                    MaximumDbu = isOut ? standard.OutputMaximumDbu : standard.InputMaximumDbu,
                    Ohms = isOut ? standard.OutputOhms : standard.InputOhms,
                    Balance = balance,
                }
            );
        }
    }

    private static SignalStandard Usual(SignalKind kind, PlugShape shape) =>
        kind switch
        {
            SignalKind.Microphone => SignalStandards.Microphone,
            SignalKind.Instrument => SignalStandards.Instrument,
            SignalKind.Headphone => SignalStandards.Headphone,
            SignalKind.Speaker => SignalStandards.Speaker,
            _ => shape == PlugShapes.JackStereo || shape == PlugShapes.JackMono || shape == PlugShapes.Xlr
                ? SignalStandards.Professional
                : SignalStandards.Consumer,
        };

    private static Socket Din(string name, bool isRecorder, PlugShape shape, int channels, SocketOptions options)
    {
        if (shape.ContactDegrees.Count == 0)
            throw new FormatException("tape-din and amp-din have a DIN shape: din3, din5");
        if (channels > (shape == PlugShapes.Din3 ? 1 : 2))
            throw new FormatException($"{shape.Words} has pins for {(shape == PlugShapes.Din3 ? "one channel" : "two channels")} each way");
        var lanes = new List<SocketLane>();
        for (var channel = 1; channel <= channels; channel++)
        {
            lanes.Add(Lane(isRecorder ? Flow.In : Flow.Out, channel, DinPins.Record(channel), SignalStandards.DinRecord));
            lanes.Add(Lane(isRecorder ? Flow.Out : Flow.In, channel, DinPins.Replay(channel), SignalStandards.DinReplay));
        }
        return new Socket(name, shape, PlugGender.Socket, lanes);

        SocketLane Lane(Flow flow, int channel, string pin, SignalStandard standard) =>
            options.Fill(
                new SocketLane(flow, channel, standard.Kind, pin, null, DinPins.Ground)
                {
                    NominalDbu = standard.NominalDbu,
                    MaximumDbu = flow == Flow.Out ? standard.OutputMaximumDbu : standard.InputMaximumDbu,
                    Ohms = flow == Flow.Out ? standard.OutputOhms : standard.InputOhms,
                }
            );
    }
}
