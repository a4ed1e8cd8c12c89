namespace Offtape.Signal;

/// <summary>
/// What the transform's passes need of a vector of floats. One kernel text serves every width: the compiler makes a body for each
/// implementation, with every call below inlined to an instruction or two.
/// </summary>
/// <typeparam name="T">The vector, or float itself for the narrowest.</typeparam>
internal interface ILanes<T>
    where T : struct
{
    /// <summary>Floats in a vector.</summary>
    static abstract int Width { get; }

    static abstract T Load(ref float source, nuint index);

    static abstract void Store(T value, ref float target, nuint index);

    static abstract T Broadcast(float value);

    static abstract T Add(T a, T b);

    static abstract T Subtract(T a, T b);

    static abstract T Multiply(T a, T b);

    /// <summary>a·b + c.</summary>
    static abstract T MultiplyAdd(T a, T b, T c);

    /// <summary>a·b − c.</summary>
    static abstract T MultiplySubtract(T a, T b, T c);

    /// <summary>Loads Width/4 values and repeats each four times; needs Width ≥ 4.</summary>
    static abstract T LoadRepeated(ref float source, nuint index);

    /// <summary>The four vectors r of which r[4i + k] is a_k[i], laid end to end.</summary>
    static abstract (T, T, T, T) Interleave(T a0, T a1, T a2, T a3);

    /// <summary>The same with groups of four floats in place of single ones; needs Width ≥ 4.</summary>
    static abstract (T, T, T, T) InterleaveGroups(T a0, T a1, T a2, T a3);

    /// <summary>Loads 2·Width floats from index and parts them: even places, odd places.</summary>
    static abstract (T Even, T Odd) LoadParted(ref float source, nuint index);

    /// <summary>Stores 2·Width floats from index: even places, odd places.</summary>
    static abstract void StoreJoined(T even, T odd, ref float target, nuint index);

    /// <summary>Last lane first.</summary>
    static abstract T Reverse(T value);
}
