namespace Offtape.Studio;

/// <summary>How many parts lie at least between an end of one shape and one of another, whatever is on their contacts: a lower bound for the search.</summary>
internal sealed class PartDistances
{
    private readonly int[,] _pieces;

    public PartDistances(IReadOnlyList<PartType> parts)
    {
        var count = 2 * PlugShapes.All.Count;
        _pieces = new int[count, count];
        var from = Enumerable.Range(0, count).Select(Kind).ToArray();
        for (var start = 0; start < count; start++)
        {
            // Breadth first over open ends: which kinds can be open after so many parts.
            var reached = new int[count];
            Array.Fill(reached, -1);
            reached[start] = 0;
            var queue = new Queue<int>([start]);
            while (queue.TryDequeue(out var at))
            {
                foreach (var part in parts)
                foreach (var entry in part.Ends)
                {
                    if (!Mates(from[at], (entry.Shape, entry.Gender)))
                        continue;
                    foreach (var exit in part.Ends)
                    {
                        var number = Number(exit.Shape, exit.Gender);
                        if (exit != entry && reached[number] < 0)
                        {
                            reached[number] = reached[at] + 1;
                            queue.Enqueue(number);
                        }
                    }
                }
            }
            for (var target = 0; target < count; target++)
                _pieces[start, target] = Enumerable
                    .Range(0, count)
                    .Where(k => reached[k] >= 0 && Mates(from[k], from[target]))
                    .Select(k => reached[k])
                    .DefaultIfEmpty(int.MaxValue)
                    .Min();
        }
    }

    /// <summary>Fewest parts after which the one can be plugged into the other; <see cref="int.MaxValue"/> where no parts do it.</summary>
    public int Between(PlugShape shape, PlugGender gender, PlugShape otherShape, PlugGender otherGender) =>
        _pieces[Number(shape, gender), Number(otherShape, otherGender)];

    private static bool Mates((PlugShape Shape, PlugGender Gender) a, (PlugShape Shape, PlugGender Gender) b) =>
        a.Gender != b.Gender && (a.Gender == PlugGender.Plug ? PlugShapes.Fits(a.Shape, b.Shape) : PlugShapes.Fits(b.Shape, a.Shape));

    private static (PlugShape Shape, PlugGender Gender) Kind(int number) =>
        (PlugShapes.All[number / 2], number % 2 == 0 ? PlugGender.Plug : PlugGender.Socket);

    private static int Number(PlugShape shape, PlugGender gender) => 2 * PlugShapes.NumberOf(shape) + (gender == PlugGender.Plug ? 0 : 1);
}
