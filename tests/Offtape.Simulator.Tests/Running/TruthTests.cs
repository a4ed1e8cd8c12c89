using Offtape.Testing;

namespace Offtape.Simulator.Tests;

/// <summary>Checks that the sound in the return stands where the true map says, by listening to the return and not to the simulation.</summary>
public sealed class TruthTests
{
    private const int Rate = 48_000;

    public static TheoryData<string> Machines => ["Typical deck", "Worn deck", "Typical deck off tape", "Worn deck off tape"];

    internal static MachineModel Named(string name) =>
        (name.StartsWith("Typical", StringComparison.Ordinal) ? MachinePresets.TypicalDeck : MachinePresets.WornDeck) is var model
        && name.EndsWith("off tape", StringComparison.Ordinal)
            ? model.OffTape()
            : model;

    /// <summary>
    /// Narrow bursts of noise-free sound, each located by the centroid of its energy. A centroid is exact for a pulse that is only stretched;
    /// tolerance 2 µs (a tenth of a frame): the wobble's change of speed within a 4 ms pulse, at most 0.5 % of 100 Hz flutter.
    /// </summary>
    [Theory, MemberData(nameof(Machines))]
    public void Clicks_are_heard_where_the_truth_says(string name)
    {
        var model = Named(name);
        model = model with
        {
            Noise = new NoiseModel(),
            Dropouts = new DropoutModel(),
            Sound = model.Sound with { MinimumPhase = false, HeadBumpDb = 0, BassLimitHz = 0 },
            Tracks = model.Tracks with { CrosstalkDb = double.NegativeInfinity },
        };
        var clicks = Enumerable.Range(1, 40).Select(i => i * 0.7 + 0.0123 * (i % 7)).ToArray();
        var send = new[] { new float[30 * Rate], new float[30 * Rate] };
        foreach (var click in clicks)
        {
            for (var i = (int)((click - 0.01) * Rate); i < (click + 0.01) * Rate; i++)
            {
                var t = (double)i / Rate - click;
                send[0][i] = send[1][i] = (float)(0.2 * Math.Exp(-0.5 * t * t / (0.0004 * 0.0004)));
            }
        }
        var back = new SimulatedMachine(model, 5).Run(send, Rate);
        for (var c = 0; c < 2; c++)
        {
            foreach (var click in clicks)
            {
                var told = back.TruthPerChannel[c].CaptureAt(click);
                Measured.Within(told, Centroid(back.Channels[c], told, 0.004), 2e-6, $"click at {click}, channel {c}");
            }
        }
    }

    private static double Centroid(float[] samples, double nearSeconds, double halfWidthSeconds)
    {
        var (weight, sum) = (0.0, 0.0);
        for (var i = (int)Math.Ceiling((nearSeconds - halfWidthSeconds) * Rate); i <= (nearSeconds + halfWidthSeconds) * Rate; i++)
        {
            var power = (double)samples[i] * samples[i];
            weight += power;
            sum += power * i;
        }
        return sum / weight / Rate;
    }
}
