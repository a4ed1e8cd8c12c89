namespace Offtape.Studio;

/// <summary>What is to be said of the devices themselves, and of the round ways that the interface makes.</summary>
internal static class DeviceHazards
{
    public static IEnumerable<Hazard> Of(Rig rig, Wiring wiring)
    {
        var inUse = wiring.Joins.SelectMany(j => new[] { j.A.Device, j.B.Device }).OfType<string>().ToHashSet();
        foreach (var device in rig.Devices.Where(d => inUse.Contains(d.Name)))
        {
            if (device.HasLiveChassis)
                yield return new Hazard(
                    HazardCode.LiveChassis,
                    Severity.Refuse,
                    device.Name,
                    "Its chassis can stand on the mains: whoever touches it and something earthed is in the circuit, and so is the interface.",
                    "Do not join it to anything. A licensed repair person may fit an isolating mains transformer and say when it is safe."
                );
            if (device.IsEarthLifted)
                yield return new Hazard(
                    HazardCode.EarthLifted,
                    Severity.Refuse,
                    device.Name,
                    "Its safety earth was taken off: one fault inside puts the mains on everything it is joined to.",
                    "Put the safety earth back. Against hum use an isolating transformer in the sound lead."
                );
        }
    }
}
