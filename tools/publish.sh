#!/usr/bin/env bash
# Makes builds that need no .NET on the machine they run on, one folder and one archive for each platform.
#
#   bash tools/publish.sh [--to DIR] [--quick] [PLATFORM...]
#
# PLATFORM: linux-x64, win-x64, osx-arm64, osx-x64; all four when none is named. DIR: artifacts/publish unless told. --quick leaves the code
# to be compiled at each start (for trying the build); without it it is compiled ahead, and the program starts sooner.
# Builds for macOS are not signed: the first start there needs the permission that macOS asks for.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

export DOTNET_NOLOGO=1 DOTNET_CLI_TELEMETRY_OPTOUT=1 DOTNET_CLI_UI_LANGUAGE=en

to="artifacts/publish" ahead=true platforms=()
while [ $# -gt 0 ]; do
    case "$1" in
        --to) to="${2:?--to needs a folder}"; shift ;;
        --quick) ahead=false ;;
        linux-x64|win-x64|osx-arm64|osx-x64) platforms+=("$1") ;;
        *) printf 'There is no platform "%s": linux-x64, win-x64, osx-arm64, osx-x64.\n' "$1" >&2; exit 2 ;;
    esac
    shift
done
[ "${#platforms[@]}" -gt 0 ] || platforms=(linux-x64 win-x64 osx-arm64 osx-x64)
command -v dotnet >/dev/null || { printf 'Install the .NET SDK 10 first: https://dotnet.microsoft.com/download\n' >&2; exit 1; }

# What draws, what solves and what stores are native code: a build without its platform's own would start and then fail.
natives_of() {
    case "$1" in
        linux-x64) echo "libSkiaSharp.so google-ortools-native.so libe_sqlite3.so libcoreclr.so" ;;
        win-x64) echo "libSkiaSharp.dll google-ortools-native.dll e_sqlite3.dll coreclr.dll" ;;
        osx-*) echo "libSkiaSharp.dylib google-ortools-native.dylib libe_sqlite3.dylib libcoreclr.dylib" ;;
    esac
}

mkdir -p "$to"
for platform in "${platforms[@]}"; do
    target="$to/offtape-$platform"
    printf '%s\n' "$platform" >&2
    rm -rf "$target"
    # In a place of its own: the build that tests and editors use is left as it is.
    dotnet publish src/Offtape.Cli -c Release -r "$platform" --self-contained --artifacts-path "$to/work" -nologo -v quiet \
        -p:PublishReadyToRun="$ahead" -p:RunAnalyzersDuringBuild=false -p:DebugType=none -p:GenerateDocumentationFile=false -o "$target"
    rm -f "$target"/Offtape.*.xml "$target"/*.pdb
    cp LICENSE README.md "$target/"
    for native in $(natives_of "$platform"); do
        [ -s "$target/$native" ] || { printf '%s: %s is missing.\n' "$platform" "$native" >&2; exit 1; }
    done
    archive="$to/offtape-$platform.tar.gz"
    tar -C "$to" --sort=name --owner=0 --group=0 --numeric-owner -czf "$archive" "offtape-$platform"
    printf '%s\t%s\n' "$archive" "$(du -h "$archive" | cut -f1)"
done
