#!/usr/bin/env bash
# Writes docs/commands.md: what --help says of every verb. A test fails when the page is out of date.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
dotnet build src/Offtape.Cli -c Release -nologo -v quiet >&2
offtape() { dotnet src/Offtape.Cli/bin/Release/net10.0/offtape.dll "$@"; }
verbs_of() { offtape "$@" --help | sed -n '/^Verbs$/,/^$/p' | sed -n 's/^  \([a-z-]\{1,\}\)  .*/\1/p'; }

{
    printf '# Commands\n\nWhat `--help` says of every verb, written by `bash tools/write-commands.sh`.\n'
    printf '\nExit status: 0 done; 1 an unexpected fault; 2 wrong usage; 3 done, but something asked for was not found, does not fit, or fell\n'
    printf 'outside a stated limit; 4 an input cannot be read; 5 an output cannot be written or exists already; 130 interrupted.\n'
    printf '\n## offtape\n\n```\n%s\n```\n' "$(offtape --help)"
    for verb in $(verbs_of); do
        printf '\n## offtape %s\n\n```\n%s\n```\n' "$verb" "$(offtape "$verb" --help)"
        for part in $(verbs_of "$verb"); do
            printf '\n### offtape %s %s\n\n```\n%s\n```\n' "$verb" "$part" "$(offtape "$verb" "$part" --help)"
        done
    done
} >docs/commands.md.new
mv docs/commands.md.new docs/commands.md
