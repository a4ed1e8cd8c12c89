namespace Offtape.Cli.Tests.Running;

/// <summary>Shell lines that run the command where a disk is full or a folder locked; <c>"$@"</c> stands for the command.</summary>
internal static class Hardship
{
    /// <summary>
    /// With a folder <c>disk</c> of 1 MB in a mount namespace of its own; where a machine forbids that, with a limit on file size, which fails
    /// the same writes. What is left in it afterwards stands in <c>left.txt</c>.
    /// </summary>
    public const string SmallDisk = """
        disk="$PWD/disk"
        if unshare -rm true 2>/dev/null; then
            exec unshare -rm sh -c 'mount -t tmpfs -o size=1m none "$0" && "$@"; code=$?; (cd "$0" && find . -type f) >left.txt; exit $code' "$disk" "$@"
        fi
        # The runtime maps its code through a file; not with this setting.
        export DOTNET_EnableWriteXorExecute=0
        trap '' XFSZ
        ulimit -f 2000
        "$@"; code=$?; (cd "$disk" && find . -type f) >left.txt; exit $code
        """;

    /// <summary>
    /// With a folder <c>locked</c> that may not be written to. Root may write everywhere: it gives up that right (capabilities(7),
    /// CAP_DAC_OVERRIDE), with setpriv(1) of util-linux.
    /// </summary>
    public const string LockedFolder = """
        chmod 555 locked
        [ "$(id -u)" = 0 ] || exec "$@"
        exec setpriv --bounding-set -dac_override,-dac_read_search "$@"
        """;
}
