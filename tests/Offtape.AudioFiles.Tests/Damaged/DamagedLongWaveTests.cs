using static Offtape.AudioFiles.Tests.Riff;

namespace Offtape.AudioFiles.Tests;

/// <summary>Broken RF64 and BW64 files: a `ds64` that lies, or is not there.</summary>
public sealed class DamagedLongWaveTests : IDisposable
{
    private const long AllOnes = 0xFFFF_FFFF;

    private readonly Patient _patient = new();

    public void Dispose() => _patient.Dispose();

    private static byte[] Sizes(long riffSize, long dataSize, long frames = 10, long tableLength = 0) =>
        Chunk("ds64", Join(U64(riffSize), U64(dataSize), U64(frames), U32(tableLength)));

    /// <summary>12 bytes of form, 36 of ds64, 24 of format, 8 of the audio's head, 40 of audio.</summary>
    private const long FileBytes = 120;

    private static byte[] Long(byte[] sizes, string id = "RF64", long dataSize32 = AllOnes, byte[]? after = null) =>
        Form(id, AllOnes, sizes, Fmt(), Chunk("data", dataSize32, Ramp(20)), after ?? []);

    [Theory]
    [InlineData("RF64")]
    [InlineData("BW64")]
    public void Sound(string id) => _patient.IsReadInSilence(Long(Sizes(FileBytes - 8, 40), id), 10);

    [Fact]
    public void Size_in_32_bits_is_believed_where_it_is_given() =>
        _patient.IsReadInSilence(Long(Sizes(FileBytes - 8, 999_999), dataSize32: 40), 10);

    [Theory]
    [InlineData(5_000_000_000)]
    [InlineData(41)]
    public void Says_more_than_there_is(long dataSize) =>
        _patient.IsReadWithOneNotice(Long(Sizes(dataSize + 80, dataSize)), 10, "says it holds");

    [Theory]
    [InlineData(0)]
    [InlineData(-1)]
    [InlineData(long.MinValue)]
    public void Never_filled_in(long dataSize) => _patient.IsReadWithOneNotice(Long(Sizes(0, dataSize)), 10, "was never closed");

    [Fact]
    public void Says_less_than_there_is() =>
        _patient.IsReadWithOneNotice(Long(Sizes(FileBytes - 8, 8)), 10, "says it holds 8 bytes and its audio goes on after that");

    [Fact]
    public void Missing() => _patient.IsReadWithOneNotice(Long([]), 10, "was never closed");

    [Fact]
    public void Too_short() => _patient.IsReadWithOneNotice(Long(Chunk("ds64", new byte[8])), 10, "was never closed");

    [Fact]
    public void Table_longer_than_its_chunk() => _patient.IsReadInSilence(Long(Sizes(FileBytes - 8, 40, tableLength: AllOnes)), 10);

    [Fact]
    public void Table_names_the_size_of_another_chunk()
    {
        var table = Join("xtra"u8.ToArray(), U64(4));
        var sizes = Chunk("ds64", Join(U64(FileBytes - 8 + 24), U64(40), U64(10), U32(1), table));
        _patient.IsReadInSilence(Long(sizes, after: Chunk("xtra", AllOnes, [1, 2, 3, 4])), 10);
    }

    [Fact]
    public void Zero_length_audio() =>
        _patient.IsRefused(Form("RF64", AllOnes, Sizes(72, 0), Fmt(), Chunk("data", AllOnes, [])), "its length is zero", 80);

    [Fact]
    public void A_ds64_in_a_plain_wav_is_not_listened_to() =>
        _patient.IsReadInSilence(Wave(Sizes(5, 5), Fmt(), Chunk("data", Ramp(20))), 10);
}
