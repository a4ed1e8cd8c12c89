using Offtape.Base;
using Offtape.Passes.Finding;
using Offtape.Passes.Following;
using Offtape.Passes.Inputs;
using Offtape.Passes.Judging;
using Offtape.Passes.Mapping;
using Offtape.Passes.Slates;
using Offtape.Passes.Tries;
using Offtape.Passes.Writing;

namespace Offtape.Passes;

/// <summary>Turns findings into takes to write, and both into return.json and sentences.</summary>
internal sealed class ReturnReport(
    ReturnRequest request,
    IReadOnlyList<PassInput> passes,
    IReadOnlyList<SourceSound> loose,
    IReadOnlyList<CaptureSound> captures,
    ReturnFindings found,
    List<Notice> notices
)
{
    private Dictionary<LocatedPass, StripeMap> _stripes = [];
    private readonly List<(FoundTake Found, TakePlan Plan, TakeReading Reading, string FileName)> _takes = [];
    private IReadOnlyList<ReturnTries> _tries = [];

    /// <summary>Measures every take and names its file.</summary>
    internal IReadOnlyList<(TakePlan Plan, string FileName)> Plan(JobProgress progress, CancellationToken cancellation)
    {
        var ordered = found.Takes.OrderBy(t => t.Take.Source.Index).ThenBy(t => PassNumber(t)).ThenBy(t => t.Take.Capture.Index).ToList();
        var numbered = ordered
            .Select((t, i) => (Take: t, OfSource: ordered.Take(i + 1).Count(o => o.Take.Source == t.Take.Source)))
            .ToList();
        var names = TakeNames.For(
            [.. numbered.Select(n => (n.Take.Take.Source.Index, NameOf(n.Take.Take.Source), n.OfSource))],
            request.Suffix
        );
        var tracked = numbered.ConvertAll(n => n.Take.Take);
        var matches = new ChannelMatches[tracked.Count];
        Each(
            tracked.Count,
            progress.Part(0, 0.15),
            "matching the channels of take",
            i => matches[i] = Match(tracked[i], cancellation),
            cancellation
        );
        _stripes = StripeFinder.Find(found.Passes, captures, progress.Part(0.15, 0.25), cancellation);
        // One constant ratio averages the flutter away; only what takes movement out needs to see it.
        var detail = request.Retimings.Any(r => r is Retiming.Steady or Retiming.Lock) ? MapDetail.Flutter : MapDetail.Wow;
        var mapped = TakeMapper.Map(
            tracked,
            matches,
            i => (tracked[i].Capture.Index, numbered[i].Take.Located),
            i => Guide(numbered[i].Take),
            detail,
            progress.Part(0.25, 0.8),
            cancellation
        );
        var read = new (TakePlan Plan, TakeReading Reading)[numbered.Count];
        Each(
            numbered.Count,
            progress.Part(0.8, 1),
            "measuring take",
            i =>
            {
                var (take, ofSource) = numbered[i];
                // Delays between channels are read again along the finer path.
                var channels =
                    ReferenceEquals(mapped[i], tracked[i]) ? matches[i]
                    : detail == MapDetail.Wow ? matches[i].From(mapped[i].SourceChannel)
                    : Match(mapped[i], cancellation);
                var ofFirst = AlongFirst(mapped[i], channels);
                var plan = new TakePlan
                {
                    Source = ofFirst.Source,
                    SourceName = NameOf(ofFirst.Source),
                    Take = ofFirst,
                    Handling = TapeHandling.Of(ofFirst),
                    Channels = channels,
                    PassId = take.Sheet?.PassId,
                    SourceSha256 = take.Item?.Sha256,
                    PassNumber = take.Located is null ? ofSource : PassNumber(take),
                    SendGainDb = take.Item?.GainDb ?? 0,
                    IntendedSpeed = 1 / (take.Sheet?.PrintRatio ?? 1),
                };
                plan = plan with { Bleeds = Bleeds(plan, cancellation) };
                read[i] = (plan, TakeReading.Of(plan, cancellation));
            },
            cancellation
        );
        for (var i = 0; i < numbered.Count; i++)
            _takes.Add((numbered[i].Take, read[i].Plan, read[i].Reading, names[i]));
        MarkLeaks(cancellation);
        _tries = Tries(cancellation);
        return [.. _takes.Select(t => (t.Plan, t.FileName))];
    }

    /// <summary>A take's map is that of its first channel, whichever it was followed by.</summary>
    private static FollowedTake AlongFirst(FollowedTake take, ChannelMatches channels)
    {
        var followed = channels.Channels.FirstOrDefault(c => c.SourceChannel == take.SourceChannel);
        var first = channels.Channels[0];
        return followed is null || followed == first
            ? take
            : take with
            {
                Curve = take.Curve.Shifted(first.DelaySeconds - followed.DelaySeconds),
            };
    }

    private StripeGuide? Guide(FoundTake take) =>
        take is { Located: { } run, Item: { } item } && _stripes.TryGetValue(run, out var stripe)
            ? new StripeGuide(stripe, item, stripe.For(take.Take, item))
            : null;

    private static StripeBleed[] Bleeds(TakePlan plan, CancellationToken cancellation) =>
        [
            .. plan
                .Channels.Channels.Select(c => c.CaptureChannel)
                .Distinct()
                .Select(c => BleedMeter.Measure(plan.Take, c, cancellation))
                .OfType<StripeBleed>(),
        ];

    private static ChannelMatches Match(FollowedTake take, CancellationToken cancellation) =>
        new ChannelMatcher().Match(take, [.. Enumerable.Range(0, take.Capture.Recording.Format.ChannelCount)], cancellation);

    private static void Each(int count, JobProgress progress, string words, Action<int> act, CancellationToken cancellation)
    {
        var done = 0;
        Parallel.For(
            0,
            count,
            new ParallelOptions { CancellationToken = cancellation, MaxDegreeOfParallelism = Environment.ProcessorCount },
            i =>
            {
                act(i);
                var finished = Interlocked.Increment(ref done);
                progress.Report("measuring", (double)finished / count, $"{words} {finished} of {count}");
            }
        );
    }

    private List<ReturnTries> Tries(CancellationToken cancellation)
    {
        var tries = new List<ReturnTries>();
        foreach (var group in Enumerable.Range(0, _takes.Count).GroupBy(i => _takes[i].Plan.Source.Index))
        {
            int[] indices = [.. group.Where(i => !_takes[i].Reading.NeverWentThroughTape)];
            if (indices.Length < 2)
                continue;
            var distances = new TryDistance?[indices.Length];
            distances[0] = new TryDistance(0, 0);
            Parallel.For(
                1,
                indices.Length,
                new ParallelOptions { CancellationToken = cancellation, MaxDegreeOfParallelism = Environment.ProcessorCount },
                i => distances[i] = TryComparer.Between(_takes[indices[0]].Plan.Take, _takes[indices[i]].Plan.Take, cancellation)
            );
            tries.Add(
                new ReturnTries
                {
                    Source = _takes[indices[0]].Plan.SourceName,
                    Takes = indices,
                    OffsetMicroseconds = [.. distances.Select(d => d?.OffsetSeconds * 1e6)],
                    SpreadMicroseconds = [.. distances.Select(d => d?.SpreadSeconds * 1e6)],
                }
            );
        }
        return tries;
    }

    private void MarkLeaks(CancellationToken cancellation)
    {
        foreach (var group in _takes.GroupBy(t => (t.Plan.Take.Capture.Index, t.Found.Located)))
        {
            var takes = group.Where(t => !t.Reading.NeverWentThroughTape).ToList();
            if (takes.Count == 0)
                continue;
            var capture = takes[0].Plan.Take.Capture.Recording;
            var located = group.Key.Located;
            var leak = located is null
                ? LeakTest.Find([.. takes.Select(t => t.Plan.Take)], cancellation)
                : SlateLeakTest.Find(located, capture, cancellation);
            if (leak is null)
                continue;
            foreach (var take in takes)
                take.Reading.Leak = leak.Value;
        }
    }

    /// <summary>Writes return.json and says how it went.</summary>
    internal ReturnResult Finish(IReadOnlyDictionary<(TakePlan, Retiming), (string File, long Clipped)> written)
    {
        var path = Path.Combine(request.TargetFolder, ReturnSheet.FileName);
        var earlier = ReturnSheet.TryLoad(path);
        var takes = _takes.Select(t => Describe(t, written, earlier)).ToList();
        foreach (var (index, places) in found.Ambiguous)
            takes.Add(Undecided(places));
        foreach (var source in AllSources().Where(s => !takes.Exists(t => t.Source == NameOf(s) && IsFor(t, s))))
            takes.Add(Missing(source));
        var warnings = Warnings();
        var sheet = new ReturnSheet
        {
            Captures =
            [
                .. captures.Select(c => new ReturnCapture
                {
                    File = c.Recording.Path,
                    SampleRateHz = c.Recording.Format.SampleRateHz,
                    ChannelCount = c.Recording.Format.ChannelCount,
                    LengthSeconds = c.LengthSeconds,
                }),
            ],
            Retime = string.Join(",", request.Retimings.Distinct().Select(ReturnJob.FolderOf)),
            Passes = PassEntries(),
            Takes = takes,
            UnmatchedCaptures = [.. captures.Where(c => !IsUsed(c)).Select(c => c.Recording.Path)],
            Tries = _tries,
            Warnings = warnings,
            Asked = ReturnAsked.Of(request),
            MadeAt = request.MadeAt is { } made ? Words.Moment(made) : null,
        };
        sheet.Save(path);
        var isWhole = takes.TrueForAll(t => t.Found && t.Complete) && found.StrangePasses.Count == 0;
        return new ReturnResult
        {
            ExitCode = isWhole ? ExitCode.Done : ExitCode.Incomplete,
            Sheet = sheet,
            SheetPath = path,
            Sentences = [.. takes.Select(t => t.Sentence), .. warnings.Select(w => w.Text)],
        };
    }

    private static bool IsFor(ReturnTake take, SourceSound source) => take.SourceIndex == source.Index;

    private IEnumerable<SourceSound> AllSources() => passes.SelectMany(p => p.Sounds).Concat(loose);

    private bool IsUsed(CaptureSound capture) =>
        found.Takes.Any(t => t.Take.Capture == capture)
        || found.Passes.Any(p => p.CaptureIndex == capture.Index)
        || found.Ambiguous.Values.Any(a => a.Any(t => t.Capture == capture));

    private string NameOf(SourceSound source)
    {
        foreach (var pass in passes)
        {
            var i = Array.IndexOf(pass.Sounds, source);
            if (i >= 0)
                return pass.Sheet.Items[i].Source;
        }
        return source.Recording.Name;
    }

    /// <summary>Runs of one sheet that share no source are pieces of one pass; a source heard again begins the next.</summary>
    private int PassNumber(FoundTake take)
    {
        if (take.Located is null)
            return 1;
        return PassNumbers()[take.Located];
    }

    private Dictionary<LocatedPass, int>? _passNumbers;

    private Dictionary<LocatedPass, int> PassNumbers()
    {
        if (_passNumbers is not null)
            return _passNumbers;
        var numbers = new Dictionary<LocatedPass, int>();
        var held = new List<(PassSheet Sheet, HashSet<int> Sources)>();
        foreach (var pass in found.Passes)
        {
            var sources = found.Takes.Where(t => t.Located == pass).Select(t => t.Take.Source.Index).ToHashSet();
            var home = held.FindIndex(h => h.Sheet == pass.Sheet && !h.Sources.Overlaps(sources));
            if (home < 0)
            {
                held.Add((pass.Sheet, []));
                home = held.Count - 1;
            }
            held[home].Sources.UnionWith(sources);
            numbers[pass] = home + 1;
        }
        return _passNumbers = numbers;
    }

    private List<ReturnPass> PassEntries()
    {
        var entries = new List<ReturnPass>();
        foreach (var pass in found.Passes)
        {
            var capture = captures[pass.CaptureIndex];
            var (a, b) = (pass.CaptureAt(0), pass.CaptureAt(pass.Sheet.LengthSeconds));
            var heard = found.Takes.Count(t => t.Located == pass);
            entries.Add(
                new ReturnPass
                {
                    Number = PassNumbers()[pass],
                    PassId = pass.Sheet.PassId,
                    Capture = capture.Recording.Path,
                    CaptureStartSeconds = Math.Max(0, Math.Min(a, b)),
                    CaptureEndSeconds = Math.Min(capture.LengthSeconds, Math.Max(a, b)),
                    SpeedRatio = pass.SpeedRatio,
                    Reversed = pass.IsReversed,
                    Stripe = _stripes.GetValueOrDefault(pass)?.Told(),
                    Complete = heard == pass.Sheet.Items.Count && pass.Missing.Count == 0,
                }
            );
        }
        foreach (var take in _takes.Where(t => t.Found.Located is null))
        {
            entries.Add(
                new ReturnPass
                {
                    Number = take.Plan.PassNumber,
                    PassId = take.Found.Sheet?.PassId,
                    Capture = take.Plan.Take.Capture.Recording.Path,
                    CaptureStartSeconds = Math.Max(0, take.Plan.Take.StartCaptureSeconds),
                    CaptureEndSeconds = Math.Min(take.Plan.Take.Capture.LengthSeconds, take.Plan.Take.EndCaptureSeconds),
                    SpeedRatio = take.Reading.SpeedRatio,
                    Reversed = take.Plan.Take.IsReversed,
                    Complete = take.Reading.IsComplete,
                }
            );
        }
        return entries;
    }

    private ReturnTake Describe(
        (FoundTake Found, TakePlan Plan, TakeReading Reading, string FileName) take,
        IReadOnlyDictionary<(TakePlan, Retiming), (string File, long Clipped)> written,
        ReturnSheet? earlier
    )
    {
        var (foundTake, plan, reading, _) = take;
        var files = new Dictionary<string, string>();
        var before = earlier?.Takes.FirstOrDefault(t =>
            t.Found
            && t.Source == plan.SourceName
            && t.Pass == plan.PassNumber
            && Math.Abs((t.CaptureStartSeconds ?? double.NaN) - reading.StartCaptureSeconds) < 1e-3
        );
        foreach (var (retiming, file) in before?.Files ?? new Dictionary<string, string>())
        {
            if (File.Exists(Path.Combine(request.TargetFolder, file)))
                files[retiming] = file;
        }
        long clipped = 0;
        foreach (var retiming in request.Retimings.Distinct())
        {
            var (file, count) = written[(plan, retiming)];
            files[ReturnJob.FolderOf(retiming)] = file;
            clipped += count;
        }
        var missing = foundTake.Located is { } pass ? pass.Missing : [];
        var warnings = TakeWarnings.For(plan, reading, request, missing, clipped);
        return new ReturnTake
        {
            SourceIndex = plan.Source.Index,
            Source = plan.SourceName,
            Capture = plan.Take.Capture.Recording.Path,
            Pass = plan.PassNumber,
            Found = true,
            Held = foundTake.IsHeld,
            Confidence = Math.Round(foundTake.Confidence, 3),
            Complete = reading.IsComplete,
            EndSourceSeconds = reading.EndSourceSeconds,
            File = files[ReturnJob.FolderOf(request.Retimings[0])],
            Files = files,
            CaptureStartSeconds = reading.StartCaptureSeconds,
            SpeedRatio = reading.SpeedRatio,
            Polarity = plan.Channels.Channels[0].Polarity,
            ChannelOrder = plan.Channels.IsOrderKnown ? ChannelOrder(plan) : null,
            CaptureChannels = [.. plan.Channels.Channels.Select(c => c.CaptureChannel)],
            GainDb = reading.GainDb,
            InterchannelDelayMicroseconds = plan.Channels.InterchannelDelaySeconds * 1e6,
            NoiseFloorDbfs = reading.NoiseFloorDbfs,
            TimeMap = reading.TimeMap,
            WobblePeakCents = reading.WobblePeakCents,
            StripeBleedDb = plan.StripeBleedDb,
            StripeBleedLeftDb = plan.StripeBleedLeftDb,
            StripeDelayMicroseconds = plan.Take.Stripe?.DelaySeconds * 1e6,
            StripeWanderMicroseconds = plan.Take.Stripe?.WanderSeconds * 1e6,
            StripeWanderSigmaMicroseconds = plan.Take.Stripe?.WanderSigmaSeconds * 1e6,
            Dropouts = reading.Dropouts,
            GridDistanceMilliseconds = GridDistances(plan),
            Rides = [.. plan.Handling.Rides.Select(r => Ride(plan, r))],
            Stops = [.. plan.Handling.Stands.Select(s => Stop(plan, s))],
            Warnings = warnings,
            Sentence = TakeSentences.Found(plan, reading, warnings) + (foundTake.IsHeld ? " Its place was set by hand." : ""),
        };
    }

    private Dictionary<string, double> GridDistances(TakePlan plan) =>
        request
            .Retimings.Distinct()
            .Where(r => r != Retiming.Shift)
            .ToDictionary(ReturnJob.FolderOf, r => Math.Round(1e3 * GridDistanceSeconds(plan, r), 4));

    private double GridDistanceSeconds(TakePlan plan, Retiming retiming) =>
        retiming == Retiming.Lock
            ? TakeTime.LockDistanceSeconds(plan.Take)
            : TakeTime
                .Of(plan.Take, plan.Handling, retiming, request.CornerHz, request.FlattenRides, request.AsPrinted)
                .GridDistanceSeconds();

    private static ReturnRide Ride(TakePlan plan, Ride ride)
    {
        var (a, b) = (plan.Take.ToSourceFileSeconds(ride.FromSeconds), plan.Take.ToSourceFileSeconds(ride.ToSeconds));
        return new ReturnRide(
            Math.Round(Math.Min(a, b), 3),
            Math.Round(Math.Max(a, b), 3),
            Math.Round(Conversions.RatioToCents(ride.PeakRatio), 1)
        );
    }

    private static ReturnStop Stop(TakePlan plan, TapeStand stand)
    {
        var (a, b) = (plan.Take.ToSourceFileSeconds(stand.FromSource), plan.Take.ToSourceFileSeconds(stand.ToSource));
        return new ReturnStop(
            Math.Round(Math.Min(a, b), 3),
            Math.Round(Math.Max(a, b), 3),
            Math.Round(stand.FromCapture, 3),
            Math.Round(stand.ToCapture, 3)
        );
    }

    // By rank among the channels used, so that two tracks heard on channels 3 and 4 are 0 and 1.
    private static int[] ChannelOrder(TakePlan plan)
    {
        var sorted = plan.Channels.Channels.Select(c => c.CaptureChannel).Order().ToArray();
        return [.. plan.Channels.Channels.Select(c => Array.IndexOf(sorted, c.CaptureChannel))];
    }

    private ReturnTake Undecided(IReadOnlyList<FollowedTake> places)
    {
        var name = NameOf(places[0].Source);
        var text = TakeSentences.Ambiguous(name, places);
        return new ReturnTake
        {
            SourceIndex = places[0].Source.Index,
            Source = name,
            Capture = places[0].Capture.Recording.Path,
            Found = false,
            Warnings = [new ReturnWarning(WarningCode.AmbiguousPlace, text)],
            Sentence = text,
        };
    }

    private ReturnTake Missing(SourceSound source)
    {
        var name = NameOf(source);
        var warnings = new List<ReturnWarning>();
        var text = TakeSentences.NotFound(name, source, captures, found, passes, warnings);
        return new ReturnTake
        {
            SourceIndex = source.Index,
            Source = name,
            Found = false,
            Warnings = warnings,
            Sentence = text,
        };
    }

    private List<ReturnWarning> Warnings()
    {
        var warnings = notices.ConvertAll(ReturnWarning.Of);
        foreach (var place in found.Lost)
        {
            warnings.Add(
                new ReturnWarning(
                    WarningCode.HeldPlaceLost,
                    $"{place.Source} could not be followed from {Words.Clock(place.CaptureStartSeconds)} of {Path.GetFileName(place.Capture)}, where it was set by hand; what is told of it was found without that. Set it nearer to where it begins."
                )
            );
        }
        foreach (var index in found.StrangePasses.Order())
        {
            warnings.Add(
                new ReturnWarning(
                    WarningCode.OtherPass,
                    $"{captures[index].Recording.Name} holds a pass that this sheet is not of. Name its own sheet with --pass."
                )
            );
        }
        return warnings;
    }
}
