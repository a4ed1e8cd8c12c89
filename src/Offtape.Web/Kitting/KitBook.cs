using System.Text;
using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Studio;
using StudioFolder = Offtape.Web.Folders.StudioFolder;

namespace Offtape.Web.Kitting;

/// <summary>
/// What the screens Kit and Patch keep in the studio: kit/request.json, kit/offers.csv and patch/rig.json, the files that the command reads
/// too. Each is written whole or not at all.
/// </summary>
internal sealed class KitBook(StudioFolder studio)
{
    /// <summary>A table of offers is text; a larger file is none.</summary>
    public const long MostOfferBytes = 16L << 20;

    private const string ListName = "offers.json";
    private readonly Lock _gate = new();

    private string RequestPath => Path.Combine(studio.Root, "kit", "request.json");

    private string OffersPath => Path.Combine(studio.Root, "kit", "offers.csv");

    private string ListPath => Path.Combine(studio.Root, "kit", ListName);

    private string RigPath => Path.Combine(studio.Root, "patch", "rig.json");

    public bool HasRequest => File.Exists(RequestPath);

    public bool HasRig => File.Exists(RigPath);

    public bool HasOffers => File.Exists(OffersPath) || File.Exists(ListPath);

    /// <exception cref="Fault">It was changed by hand, and is none any more.</exception>
    public KitForm Request() => HasRequest ? KitForm.Load(RequestPath) : KitForm.Example;

    /// <inheritdoc cref="Request"/>
    public RigForm Rig() => HasRig ? RigForm.Load(RigPath) : RigForm.Example;

    public void Save(KitForm form) => Write(RequestPath, form.ToJson());

    public void Save(RigForm form) => Write(RigPath, form.ToJson());

    /// <summary>The offers that are kept.</summary>
    /// <exception cref="Fault">They cannot be read.</exception>
    public IReadOnlyList<Offer> Offers(IReadOnlyList<PartType> parts, ICollection<Notice> notices)
    {
        if (File.Exists(ListPath))
            return OfferJson.Read(ListPath, parts);
        return File.Exists(OffersPath) ? OfferTable.Read(OffersPath, parts, notices) : [];
    }

    /// <summary>Keeps a table of offers in the place of the one before; one that cannot be read whole is not kept.</summary>
    /// <exception cref="Fault">Input: what is wrong, with row and column.</exception>
    public IReadOnlyList<Offer> Keep(byte[] bytes, string name, IReadOnlyList<PartType> parts, ICollection<Notice> notices)
    {
        var isList = name.EndsWith(".json", StringComparison.OrdinalIgnoreCase);
        var folder = Directory.CreateDirectory(Path.Combine(studio.Own, "incoming")).FullName;
        var trial = Path.Combine(folder, $"offers-{Guid.NewGuid():N}{(isList ? ".json" : ".csv")}");
        try
        {
            File.WriteAllBytes(trial, bytes);
            IReadOnlyList<Offer> offers;
            try
            {
                offers = isList ? OfferJson.Read(trial, parts) : OfferTable.Read(trial, parts, notices);
            }
            catch (Fault fault)
            {
                // By the name that the user knows.
                throw Fault.Input(name, fault.Message[(fault.Message.IndexOf(": ", StringComparison.Ordinal) + 2)..].TrimEnd('.'));
            }
            lock (_gate)
            {
                Directory.CreateDirectory(Path.GetDirectoryName(OffersPath)!);
                SafeFile.WriteBytes(isList ? ListPath : OffersPath, bytes, replace: true);
                File.Delete(isList ? OffersPath : ListPath);
            }
            return offers;
        }
        finally
        {
            File.Delete(trial);
        }
    }

    /// <summary>Adds one offer that was typed to the table.</summary>
    /// <exception cref="Fault">It is not understood, or the offers are no table.</exception>
    public void Add(IReadOnlyDictionary<string, string> cells, IReadOnlyList<PartType> parts)
    {
        if (File.Exists(ListPath))
            throw Fault.Usage("The offers are kept as JSON", "Add to the file and drop it again, or drop a table instead.");
        var row = CsvWriting.Row([.. OfferTable.Columns.Select(c => (object?)cells.GetValueOrDefault(c, ""))]);
        var before = File.Exists(OffersPath)
            ? File.ReadAllText(OffersPath, Encoding.UTF8)
            : CsvWriting.Row([.. OfferTable.Columns.Cast<object?>()]);
        var notices = new List<Notice>();
        Keep(Encoding.UTF8.GetBytes((before.EndsWith('\n') ? before : before + "\n") + row), "offers.csv", parts, notices);
    }

    private void Write(string path, string text)
    {
        lock (_gate)
        {
            try
            {
                Directory.CreateDirectory(Path.GetDirectoryName(path)!);
            }
            catch (Exception error) when (error is IOException or UnauthorizedAccessException)
            {
                throw Fault.FromOutputError(path, error);
            }
            SafeFile.WriteText(path, text, replace: true);
        }
    }
}
