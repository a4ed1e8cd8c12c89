namespace Offtape.AudioFiles;

/// <summary>The endings of audio files.</summary>
internal static class ContainerNames
{
    /// <summary>The container that a file of this name is written as; null when its ending is not known.</summary>
    public static AudioContainer? FromPath(string path) =>
        Path.GetExtension(path).ToLowerInvariant() switch
        {
            ".wav" or ".wave" or ".bwf" => AudioContainer.Wav,
            ".rf64" => AudioContainer.Rf64,
            ".bw64" => AudioContainer.Bw64,
            ".aif" or ".aiff" => AudioContainer.Aiff,
            ".aifc" => AudioContainer.Aifc,
            ".flac" => AudioContainer.Flac,
            ".mp3" => AudioContainer.Mp3,
            ".ogg" or ".oga" => AudioContainer.OggVorbis,
            ".opus" => AudioContainer.Opus,
            ".caf" => AudioContainer.Caf,
            ".w64" => AudioContainer.W64,
            _ => null,
        };
}
