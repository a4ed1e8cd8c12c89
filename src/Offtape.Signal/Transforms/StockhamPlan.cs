using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Offtape.Signal;

/// <summary>A transform as a row of Stockham passes over the whole of the data.</summary>
internal sealed class StockhamPlan<T, TLanes> : TransformPlan
    where T : struct
    where TLanes : struct, ILanes<T>
{
    private readonly Pass[] passes;

    public StockhamPlan(int length)
        : base(length) => passes = MakePasses(length);

    private enum PassKind
    {
        First4,
        Second4,
        General4,
        General8,
        Last1,
        Last2,
        Last4,
        Last8,
    }

    public override void Run(ref float xRe, ref float xIm, ref float aRe, ref float aIm, ref float bRe, ref float bIm)
    {
        // The first pass writes b, then a and b take turns; the last pass may work in place, so the result is always in a.
        if (passes.Length == 1)
            Apply(passes[0], ref xRe, ref xIm, ref aRe, ref aIm);
        else
            Apply(passes[0], ref xRe, ref xIm, ref bRe, ref bIm);
        RunAfterFirst(ref aRe, ref aIm, ref bRe, ref bIm);
    }

    public override void RunPaired(ref float samples, ref float aRe, ref float aIm, ref float bRe, ref float bIm)
    {
        if (passes[0].Kind == PassKind.First4)
        {
            var m = (nuint)Length / 4;
            StockhamPasses<T, TLanes>.FirstPaired4(
                ref samples,
                ref bRe,
                ref bIm,
                ref MemoryMarshal.GetArrayDataReference(passes[0].Twiddles),
                m
            );
            RunAfterFirst(ref aRe, ref aIm, ref bRe, ref bIm);
            return;
        }
        for (nuint n = 0; n < (nuint)Length; n++)
        {
            Unsafe.Add(ref aRe, n) = Unsafe.Add(ref samples, 2 * n);
            Unsafe.Add(ref aIm, n) = Unsafe.Add(ref samples, 2 * n + 1);
        }
        Run(ref aRe, ref aIm, ref aRe, ref aIm, ref bRe, ref bIm);
    }

    public override void Split(ref float re, ref float im, ref float twiddles) =>
        RealSplit<T, TLanes>.Split(ref re, ref im, ref twiddles, (nuint)Length);

    public override void Unsplit(ref float xRe, ref float xIm, ref float aRe, ref float aIm, ref float twiddles) =>
        RealSplit<T, TLanes>.Unsplit(ref xRe, ref xIm, ref aRe, ref aIm, ref twiddles, (nuint)Length);

    public override void Join(ref float re, ref float im, ref float samples) =>
        RealSplit<T, TLanes>.Join(ref re, ref im, ref samples, (nuint)Length);

    private void RunAfterFirst(ref float aRe, ref float aIm, ref float bRe, ref float bIm)
    {
        for (var i = 1; i < passes.Length; i++)
        {
            var fromA = i % 2 == 0;
            var toA = !fromA || i == passes.Length - 1;
            Apply(
                passes[i],
                ref fromA ? ref aRe : ref bRe,
                ref fromA ? ref aIm : ref bIm,
                ref toA ? ref aRe : ref bRe,
                ref toA ? ref aIm : ref bIm
            );
        }
    }

    private static void Apply(in Pass pass, ref float xRe, ref float xIm, ref float yRe, ref float yIm)
    {
        ref var twiddles = ref MemoryMarshal.GetArrayDataReference(pass.Twiddles);
        var m = (nuint)pass.Count;
        var stride = (nuint)pass.Stride;
        switch (pass.Kind)
        {
            case PassKind.First4:
                StockhamPasses<T, TLanes>.First4(ref xRe, ref xIm, ref yRe, ref yIm, ref twiddles, m);
                break;
            case PassKind.Second4:
                StockhamPasses<T, TLanes>.Second4(ref xRe, ref xIm, ref yRe, ref yIm, ref twiddles, m);
                break;
            case PassKind.General4:
                StockhamPasses<T, TLanes>.General4(ref xRe, ref xIm, ref yRe, ref yIm, ref twiddles, m, stride);
                break;
            case PassKind.General8:
                StockhamPasses<T, TLanes>.General8(ref xRe, ref xIm, ref yRe, ref yIm, ref twiddles, m, stride);
                break;
            case PassKind.Last8:
                StockhamPasses<T, TLanes>.Last8(ref xRe, ref xIm, ref yRe, ref yIm, stride);
                break;
            case PassKind.Last4:
                StockhamPasses<T, TLanes>.Last4(ref xRe, ref xIm, ref yRe, ref yIm, stride);
                break;
            case PassKind.Last2:
                StockhamPasses<T, TLanes>.Last2(ref xRe, ref xIm, ref yRe, ref yIm, stride);
                break;
            default:
                yRe = xRe;
                yIm = xIm;
                break;
        }
    }

    private static Pass[] MakePasses(int length)
    {
        var sequence = new List<Pass>();
        var (n, stride) = (length, 1);
        if (TLanes.Width > 1)
        {
            Add(PassKind.First4, 4, Twiddles.Rows(n, 4));
            if (TLanes.Width > 4)
                Add(PassKind.Second4, 4, Twiddles.Rows(n, 4));
        }
        // As many passes of radix 8 as there can be, the last one among them: it has nothing to turn.
        while (n > 8)
        {
            if (BitOperations.Log2((uint)n) % 3 == 0)
                Add(PassKind.General8, 8, Twiddles.Groups(n, 8));
            else
                Add(PassKind.General4, 4, Twiddles.Groups(n, 4));
        }
        var last = n switch
        {
            8 => PassKind.Last8,
            4 => PassKind.Last4,
            2 => PassKind.Last2,
            _ => PassKind.Last1,
        };
        Add(last, n, []);
        return [.. sequence];

        void Add(PassKind kind, int radix, float[] twiddles)
        {
            sequence.Add(new Pass(kind, n / radix, stride, twiddles));
            n /= radix;
            stride *= radix;
        }
    }

    /// <param name="Kind">Which body.</param>
    /// <param name="Count">m: the length of the sub-transforms after the pass.</param>
    /// <param name="Stride">How many sub-transforms stand interleaved before the pass.</param>
    /// <param name="Twiddles">In the order that the body wants.</param>
    private readonly record struct Pass(PassKind Kind, int Count, int Stride, float[] Twiddles);
}
