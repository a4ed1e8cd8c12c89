using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Bench.Tests;

/// <summary>Checks that wobble and noise of a tape are no part of its response: a simulated deck whose sound is flat.</summary>
public sealed class WobbledResponseTests
{
    /// <summary>
    /// A typical deck's transport and noise: within 0.05 dB of flat from 200 Hz on, and 0.15 dB below, where the wobble is not followed
    /// (measured: 0.02 and 0.06). A worn deck's: 0.1 and 0.4 dB up to 8 kHz (measured: 0.05 and 0.2).
    /// </summary>
    [Theory, InlineData(false, 0.05, 0.15), InlineData(true, 0.1, 0.4)]
    public void A_flat_machine_reads_flat_through_its_wobble(bool isWorn, double tolerance, double bassTolerance)
    {
        var model = (isWorn ? MachinePresets.WornDeck : MachinePresets.TypicalDeck) with { Sound = new SoundModel() };
        var sheet = BenchSheetMaker.Make(new BenchSheetRequest { Parts = ["sweep"] });
        var back = new SimulatedMachine(model, 11).Run(BenchSignal.Render(sheet), sheet.SampleRateHz);
        var capture = BenchLocator
            .Locate(back.Channels, back.SampleRateHz, HowTaken.Rewound, sheet, cancellation: TestContext.Current.CancellationToken)
            .Runs[0];

        var findings = SoundReader.Read(capture, new MachineFacts(), TestContext.Current.CancellationToken);

        for (var channel = 1; channel <= 2; channel++)
        {
            var curve = findings.Curve("response", channel, "−20 dB");
            for (var k = 0; k < curve.X.Length; k++)
            {
                if (curve.X[k] is > 30 and < 8000)
                    Measured.Within(0, curve.Y[k], curve.X[k] < 200 ? bassTolerance : tolerance, $"channel {channel}, {curve.X[k]:0} Hz");
            }
        }
    }
}
