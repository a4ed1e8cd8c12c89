using Offtape.Perf;

// The measuring program: `dotnet run -c Release --project perf/Offtape.Perf -- NAME [arguments]`.
// Each measurement is one line here: its name on the command line, and a static method that prints a table and returns an exit code.
// Full-count results are committed under perf/results/ with the command, the machine and the versions that made them.
var measurements = new SortedDictionary<string, Func<string[], int>>(StringComparer.Ordinal)
{
    ["loudness"] = LoudnessMeasurement.Run,
    ["retimer"] = RetimerMeasurement.Run,
    ["wav-read"] = Offtape.Perf.AudioFiles.WavReading.Run,
    ["transform"] = TransformMeasurement.Run,
    ["delay"] = DelayMeasurement.Run,
    ["matched"] = MatchedFilterMeasurement.Run,
    ["simulator"] = Offtape.Perf.Simulator.SimulatorMeasurement.Run,
    ["slates"] = Offtape.Perf.Slates.SlateTrials.RunAll,
    ["mishaps"] = Offtape.Perf.Passes.MishapTrials.Run,
    ["finding"] = Offtape.Perf.Passes.FindTrials.Run,
    ["long-make"] = Offtape.Perf.Passes.LongReturn.Make,
    ["long-return"] = Offtape.Perf.Passes.LongReturn.Return,
    ["stripe"] = Offtape.Perf.Passes.StripeTrials.Run,
    ["maps"] = Offtape.Perf.Passes.MapTrials.Run,
    ["hard"] = Offtape.Perf.Passes.HardSourceTrials.Run,
    ["gaps"] = Offtape.Perf.Passes.GapBound.Run,
    ["rides"] = Offtape.Perf.Passes.MapTrials.RunRides,
    ["steady"] = Offtape.Perf.Passes.SteadyTrials.Run,
    ["retimings"] = Offtape.Perf.Passes.RetimingTrials.Run,
    ["sigma"] = Offtape.Perf.Passes.SigmaTrials.Run,
    ["slips"] = Offtape.Perf.Passes.SlipTrials.Run,
    ["baseline"] = Offtape.Perf.Passes.BaselineRace.Run,
    ["bench-parts"] = Offtape.Perf.Bench.PartTrials.Run,
    ["bench-speed"] = Offtape.Perf.Bench.SpeedTrials.Run,
    ["bench-losses"] = Offtape.Perf.Bench.LossTrials.Run,
    ["place"] = Offtape.Perf.Passes.PlaceTrials.Run,
    ["kit"] = Offtape.Perf.Kits.KitMeasurement.Run,
    ["studio"] = Offtape.Perf.Studios.StudioMeasurement.Run,
    ["studio-kills"] = Offtape.Perf.Studios.KillMeasurement.Run,
    ["listening"] = Offtape.Perf.Web.ListeningMeasurement.Run,
    ["upload"] = Offtape.Perf.Web.UploadMeasurement.Run,
    ["open"] = Offtape.Perf.Web.OpenMeasurement.Run,
    ["bench-locate"] = Offtape.Perf.Bench.LocateTrials.Run,
    ["bench-read"] = Offtape.Perf.Bench.BenchReadMeasurement.Run,
    ["bench-trials"] = Offtape.Perf.Bench.BenchTrials.Run,
};

if (args.Length > 0 && measurements.TryGetValue(args[0], out var measure))
    return measure(args[1..]);

Console.Error.WriteLine("Name a measurement: " + string.Join(", ", measurements.Keys) + ".");
return 2;
