using Offtape.Studio;
using Offtape.Studio.Writer;

// A program that does nothing but write passes and returns into a studio, to be killed in the middle of it: FOLDER SEED.
// After each it says on standard output what is safe by then: "send ID" or "return ID".
using var store = StudioStore.Open(args[0]);
var invented = new InventedPasses(int.Parse(args[1]));
Console.WriteLine("open");
while (true)
{
    var passId = invented.Send(store);
    Console.WriteLine($"send {passId}");
    invented.Return(store);
    Console.WriteLine($"return {passId}");
}
