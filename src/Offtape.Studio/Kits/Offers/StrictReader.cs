using System.Text;
using Offtape.Base;

namespace Offtape.Studio;

/// <summary>
/// Reads characters of a file line by line; each line has to be UTF-8 (or the whole UTF-16, with its mark). A line that is not is told with
/// its number, its column and the byte.
/// </summary>
internal sealed class StrictReader
{
    private const long MostWideBytes = 64 << 20;
    private const int MostLineBytes = CsvText.MostCharacters * CsvText.MostColumns;

    private readonly Stream _stream;
    private readonly string _path;
    private readonly Func<char> _separator;
    private readonly StreamReader? _wide;
    private readonly UTF8Encoding _utf8 = new(false, throwOnInvalidBytes: true);
    private readonly byte[] _buffer = new byte[1 << 16];
    private int _pushedBack = -1;
    private int _next;
    private int _filled;
    private string _line = "";
    private int _at;

    /// <param name="stream">The file.</param>
    /// <param name="path">Its name, for faults.</param>
    /// <param name="separator">What parts cells, as far as that is known.</param>
    public StrictReader(Stream stream, string path, Func<char> separator)
    {
        (_path, _separator) = (path, separator);
        _stream = stream;
        _wide = WideByItsMark();
        Next();
        if (_line.StartsWith('\uFEFF'))
            _at = 1;
    }

    /// <summary>The line being read, from 1.</summary>
    public int Line { get; private set; }

    private bool IsOver => _at >= _line.Length;

    public string PeekLine() => _line[Math.Min(_at, _line.Length)..];

    public int Peek() => IsOver ? -1 : _line[_at];

    public int Read()
    {
        if (IsOver)
            return -1;
        var character = _line[_at++];
        if (IsOver)
            Next();
        return character;
    }

    // FF FE and FE FF begin UTF-16; the mark of UTF-8 is a character like any other.
    private StreamReader? WideByItsMark()
    {
        var first = NextByte();
        if (first is not (0xFF or 0xFE))
        {
            _pushedBack = first;
            return null;
        }
        var second = NextByte();
        if (second != (first == 0xFF ? 0xFE : 0xFF))
            throw NotUtf8((byte)first, 1);
        return new StreamReader(Rest(), new UnicodeEncoding(bigEndian: first == 0xFE, byteOrderMark: false, throwOnInvalidBytes: true));
    }

    private void Next()
    {
        _at = 0;
        Line++;
        _line = _wide is null ? NarrowLine() : WideLine(_wide);
    }

    // A line keeps its end, so that a quoted cell keeps its line breaks.
    private string NarrowLine()
    {
        var bytes = new List<byte>();
        while (Byte() is >= 0 and var next)
        {
            bytes.Add((byte)next);
            if (next == '\n' || bytes.Count >= MostLineBytes)
                break;
            if (next == '\r')
            {
                var after = Byte();
                if (after == '\n')
                    bytes.Add((byte)'\n');
                else
                    _pushedBack = after;
                break;
            }
        }
        var line = bytes.ToArray();
        try
        {
            return _utf8.GetString(line);
        }
        catch (DecoderFallbackException error)
        {
            var at = Math.Clamp(error.Index, 0, line.Length - 1);
            throw NotUtf8(line[at], 1 + line.AsSpan(0, at).Count((byte)_separator()));
        }
    }

    private string WideLine(StreamReader reader)
    {
        var text = new StringBuilder();
        try
        {
            while (reader.Read() is >= 0 and var next)
            {
                text.Append((char)next);
                if (next == '\n' || next == '\r' && reader.Peek() != '\n' || text.Length >= MostLineBytes)
                    break;
            }
            return text.ToString();
        }
        catch (DecoderFallbackException)
        {
            throw Fault.Input(
                _path,
                $"row {Line}, column {1 + text.ToString().Count(c => c == _separator())}: it is not UTF-16",
                null,
                "Save the table as UTF-8 text."
            );
        }
    }

    private int Byte()
    {
        if (_pushedBack < 0)
            return NextByte();
        var pushed = _pushedBack;
        _pushedBack = -1;
        return pushed;
    }

    private int NextByte()
    {
        if (_next == _filled)
        {
            (_next, _filled) = (0, _stream.Read(_buffer, 0, _buffer.Length));
            if (_filled == 0)
                return -1;
        }
        return _buffer[_next++];
    }

    // UTF-16 is rare and a table of offers small: what was read ahead and what follows, as one.
    private MemoryStream Rest()
    {
        var rest = new MemoryStream();
        while (NextByte() is >= 0 and var value)
        {
            rest.WriteByte((byte)value);
            if (rest.Length > MostWideBytes)
                throw Fault.Input(
                    _path,
                    $"it is UTF-16 and longer than {Words.ByteSize(MostWideBytes)}",
                    null,
                    "Save the table as UTF-8 text."
                );
        }
        rest.Position = 0;
        return rest;
    }

    private Fault NotUtf8(byte value, int column) =>
        Fault.Input(
            _path,
            $"row {Math.Max(1, Line)}, column {column}: byte {value:X2} is not UTF-8",
            null,
            "Save the table as UTF-8 text."
        );
}
