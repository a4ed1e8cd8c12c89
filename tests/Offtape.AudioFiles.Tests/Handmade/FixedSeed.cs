using CsCheck;

namespace Offtape.AudioFiles.Tests;

/// <summary>Generated cases that are the same in every run.</summary>
internal static class FixedSeed
{
    public static void ForEach<T>(this Gen<T> gen, int count, ulong seed, Action<T> body)
    {
        var random = new PCG(1, seed);
        for (var i = 0; i < count; i++)
        {
            var value = gen.Generate(random, null, out _);
            try
            {
                body(value);
            }
            catch (Exception error)
            {
                throw new InvalidOperationException($"Case {i} of seed {seed}: {error.Message}", error);
            }
        }
    }
}
