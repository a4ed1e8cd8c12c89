using System.Text;
using CsCheck;
using Offtape.Web.Folders;

namespace Offtape.Web.Tests.Folders;

/// <summary>Names from outside. What Windows keeps for itself stands in its documentation of file names; Linux allows 255 bytes.</summary>
public sealed class SafeNameTests
{
    [Theory]
    [InlineData("kit.wav", "kit.wav")]
    [InlineData("../../etc/kit.wav", "kit.wav")]
    [InlineData("..\\..\\kit.wav", "kit.wav")]
    [InlineData("C:\\sounds\\kit.wav", "kit.wav")]
    [InlineData("/etc/kit.wav", "kit.wav")]
    [InlineData(".kit.wav", "kit.wav")]
    [InlineData("  kit .wav", "kit.wav")]
    [InlineData("<img src=x onerror=alert(1)>.wav", "img src=x onerror=alert(1).wav")]
    [InlineData("kit\u202Egpj.wav", "kitgpj.wav")]
    [InlineData("kit\0.wav", "kit.wav")]
    [InlineData("kit\n.wav", "kit.wav")]
    [InlineData("CON.wav", "CON_.wav")]
    [InlineData("com1.wav", "com1_.wav")]
    [InlineData("...wav", "sound.wav")]
    [InlineData("Bässe für später.WAV", "Bässe für später.WAV")]
    [InlineData("拍.flac", "拍.flac")]
    public void A_name_is_a_name_and_nothing_more(string offered, string name) => Assert.Equal(name, SafeName.ForSound(offered));

    [Theory]
    [InlineData("kit.exe")]
    [InlineData("kit")]
    [InlineData("")]
    [InlineData("..")]
    [InlineData("kit.wav/")]
    [InlineData("pass.json")]
    [InlineData("kit.wav.lnk")]
    public void What_is_no_sounds_name_is_refused(string offered) => Assert.Null(SafeName.ForSound(offered));

    [Fact]
    public void No_name_leads_out_of_its_folder_or_is_longer_than_a_disk_takes() =>
        Gen.String.Sample(text =>
        {
            var name = SafeName.ForSound(text + ".wav");
            if (name is null)
                return true;
            var folder = Path.GetTempPath().TrimEnd('/');
            return Path.GetDirectoryName(Path.GetFullPath(Path.Combine(folder, name))) == folder
                && Encoding.UTF8.GetByteCount(name) < 200
                && name[0] is not '.' and not ' '
                && !name.Any(char.IsControl);
        });

    [Fact]
    public void A_taken_name_is_told_apart_without_case()
    {
        var folder = Directory.CreateTempSubdirectory("offtape-names-").FullName;
        File.WriteAllText(Path.Combine(folder, "Kit.wav"), "");
        File.WriteAllText(Path.Combine(folder, "kit (2).wav"), "");
        Assert.Equal("kit (3).wav", SafeName.Free(folder, "kit.wav"));
        Directory.Delete(folder, recursive: true);
    }
}
