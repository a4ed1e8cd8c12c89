#!/usr/bin/env bash
# Starts the self-contained Linux build with an empty path and so without .NET, from another folder, and lets it do its main job: the demo from clean sounds
# to takes, and the app's first page with its style sheet and scripts.
#
#   bash tools/check-published.sh [FOLDER]
#
# FOLDER: a build that is there already; without it one is made.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

work="$(mktemp -d)"
server=""
trap '[ -z "$server" ] || kill "$server" 2>/dev/null || true; rm -rf "$work"' EXIT
for need in curl find; do command -v "$need" >/dev/null || { printf 'This check needs %s.\n' "$need" >&2; exit 1; }; done
fail() { printf 'The self-contained build: %s\n' "$*" >&2; exit 1; }

build="${1:-}"
if [ -z "$build" ]; then
    bash tools/publish.sh --quick linux-x64 >/dev/null
    build="artifacts/publish/offtape-linux-x64"
fi
# As it is on a machine of somebody else: another place, no .NET, nothing of this shell.
cp -r "$build" "$work/Offtape app"
mkdir "$work/elsewhere" "$work/home" "$work/no-programs"
offtape() { (cd "$work/elsewhere" && exec env -i HOME="$work/home" PATH="$work/no-programs" LANG=C.UTF-8 "$work/Offtape app/offtape" "$@"); }

offtape --version >/dev/null || fail "it does not start"
offtape demo --to "$work/demo" --quiet >/dev/null || fail "the demo ended with $?"
takes="$(find "$work/demo" -name '*-tape.wav' -size +100k | wc -l)"
[ "$takes" -ge 8 ] || fail "the demo made $takes takes"
[ "$(find "$work/demo" -name '*.html' -size +1k | wc -l)" -ge 1 ] || fail "the demo made no page"

(cd "$work/elsewhere" && exec env -i HOME="$work/home" PATH="$work/no-programs" "$work/Offtape app/offtape" open --no-browser \
    --studio "$work/studio" >"$work/address" 2>"$work/errors") &
server=$!
for _ in $(seq 100); do [ -s "$work/address" ] && break; sleep 0.1; done
address="$(head -n 1 "$work/address")"
[ -n "$address" ] || fail "the app did not say where it is: $(cat "$work/errors")"
root="${address%%/open*}"
get() { curl -sS --max-time 10 -b "$work/cookies" -c "$work/cookies" "$1" -o "$work/answer" -w '%{http_code}'; }
[ "$(get "$address")" = 200 ] || fail "the app did not let its own browser in"
[ "$(get "$root/")" = 200 ] && grep -q 'What now' "$work/answer" || fail "the first page is not there"
for asset in offtape.css offtape.js hear.js wave.js player.js hear-worklet.js _framework/blazor.web.js offtape.svg; do
    [ "$(get "$root/$asset")" = 200 ] || fail "$asset is missing"
    [ -s "$work/answer" ] || fail "$asset is empty"
done
kill -TERM "$server"
for _ in $(seq 100); do kill -0 "$server" 2>/dev/null || break; sleep 0.1; done
kill -0 "$server" 2>/dev/null && { kill -KILL "$server"; fail "the app does not end when it is told to"; }
server=""
printf 'The self-contained build works: %s takes, first page and its scripts.\n' "$takes"
