namespace Offtape.AudioFiles;

/// <summary>What stands around uncompressed audio in a file.</summary>
internal interface IContainerLayout
{
    SampleLayout Samples { get; }

    /// <summary>Bytes of audio that the container can hold.</summary>
    long MostDataBytes { get; }

    /// <summary>What stands before the audio; of the same length whatever the length of the audio.</summary>
    byte[] Header(long dataByteCount);

    /// <summary>What stands after it.</summary>
    byte[] Trailer(long dataByteCount);
}
