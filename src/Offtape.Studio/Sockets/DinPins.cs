namespace Offtape.Studio;

/// <summary>
/// What stands on the pins of a DIN tape socket (IEC 60130-9 / DIN 41524 by a secondary source; the two right-hand pins by elimination and
/// from memory). The socket of the recorder and that of the amplifier are numbered alike and joined pin for pin: what the recorder takes on
/// pin 1, the amplifier gives on pin 1.
/// </summary>
public static class DinPins
{
    public const string Ground = "2";

    /// <summary>The pin of the sound on its way to the tape: 1 left, 4 right.</summary>
    public static string Record(int channel) => channel == 1 ? "1" : "4";

    /// <summary>The pin of the sound on its way from the tape: 3 left, 5 right.</summary>
    public static string Replay(int channel) => channel == 1 ? "3" : "5";
}
