#!/usr/bin/env bash
# Everything a change has to pass, in one command: format, a build with warnings as errors, every test.
#
#   bash tools/test.sh
#
# The last line is the totals: "N passed, N failed, N skipped". The status is 0 only when tests ran and none failed.
# What the tests need beyond the .NET SDK is installed with apt when it is missing; nothing is installed when all of it is there.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

export DOTNET_NOLOGO=1 DOTNET_CLI_TELEMETRY_OPTOUT=1 DOTNET_SKIP_FIRST_TIME_EXPERIENCE=1 DOTNET_CLI_UI_LANGUAGE=en
export MSBUILDDISABLENODEREUSE=1

packages=(
    libsndfile1          # reads and writes FLAC, MP3, Ogg Vorbis, Opus, CAF and W64 for the program itself
    libsoxr0             # a second resampler, to check the retimer against
    libfftw3-single3     # a second transform, to check ours against
    libfftw3-double3
    flac                 # a second FLAC coder, to check files we write
    ffmpeg               # a second reader, and a second loudness meter
    python3-scipy        # a second implementation of transforms and filters
    fonts-dejavu-core    # a font, for plots with text
    alsa-utils           # real recordings: spoken words
    freepats             # real recordings: instruments
    hydrogen-drumkits    # real recordings: drum kits in velocity layers
    curl                 # asks the self-contained build for its first page
    chromium             # the browser that the app is tried in
    sonic-pi-samples     # real recordings: drums, basses, guitars, drones, loops
)

say() { printf '%s\n' "$*" >&2; }

missing_packages() {
    local package
    for package in "${packages[@]}"; do
        [ "$(dpkg-query -W -f='${db:Status-Status}' "$package" 2>/dev/null || true)" = installed ] || printf '%s\n' "$package"
    done
}

install_missing() {
    if ! command -v dpkg-query >/dev/null || ! command -v apt-get >/dev/null; then
        say "No apt here: the tests need what Debian calls ${packages[*]}. Install their like; a test that misses one says so."
        return
    fi
    local missing=()
    mapfile -t missing < <(missing_packages)
    [ "${#missing[@]}" -gt 0 ] || return 0
    local root=()
    if [ "$(id -u)" -ne 0 ]; then
        command -v sudo >/dev/null || { say "Install these as root, then run again: apt-get install ${missing[*]}"; exit 1; }
        root=(sudo)
    fi
    say "Installing ${missing[*]}"
    local log
    log="$(mktemp)"
    if ! { "${root[@]}" apt-get update && "${root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends "${missing[@]}"; } >"$log" 2>&1; then
        tail -n 20 "$log" >&2
        say "Could not install ${missing[*]}: the lines above say why."
        exit 1
    fi
    rm -f "$log"
}

# One attribute of the <Counters> element of a TRX file.
counter() { grep -o '<Counters [^>]*>' "$2" | head -n 1 | grep -o "[ ]$1=\"[0-9]*\"" | grep -o '[0-9]*'; }

command -v dotnet >/dev/null || { say "Install the .NET SDK 10 first: https://dotnet.microsoft.com/download"; exit 1; }
install_missing

say "Format"
dotnet tool restore >/dev/null
dotnet csharpier check .

say "Build"
dotnet build offtape.slnx -c Release --disable-build-servers -nologo -v quiet

say "Tests"
results="artifacts/test-results"
rm -rf "$results"
mkdir -p "$results"
passed=0 failed=0 skipped=0 status=0
for project in tests/*.Tests/*.csproj; do
    name="$(basename "$project" .csproj)"
    # 8 is "no test in this project": the totals below decide.
    dotnet "tests/$name/bin/Release/net10.0/$name.dll" --progress off --no-ansi --report-trx --report-trx-filename "$name.trx" \
        --results-directory "$PWD/$results" --ignore-exit-code 8 >"$results/$name.log" 2>&1 || { status=1; cat "$results/$name.log" >&2; }
    trx="$results/$name.trx"
    if [ ! -s "$trx" ]; then
        say "$name ended without a result file."
        status=1
        failed=$((failed + 1))
        continue
    fi
    p="$(counter passed "$trx")" e="$(counter executed "$trx")" t="$(counter total "$trx")"
    say "  $name: $p of $t passed"
    passed=$((passed + p)) failed=$((failed + e - p)) skipped=$((skipped + t - e))
done
say "Self-contained build"
if bash tools/check-published.sh >&2; then
    passed=$((passed + 1))
else
    failed=$((failed + 1))
fi
[ "$failed" -eq 0 ] || status=1
if [ "$((passed + failed))" -eq 0 ]; then
    say "No test ran."
    status=1
fi
printf '%d passed, %d failed, %d skipped\n' "$passed" "$failed" "$skipped"
exit "$status"
