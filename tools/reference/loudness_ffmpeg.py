#!/usr/bin/env python3
"""Measures ten real recordings with ffmpeg's ebur128 filter, as a second opinion on our loudness meter.

    python3 tools/reference/loudness_ffmpeg.py > tests/Offtape.Signal.Tests/Loudness/loudness-ffmpeg.json

The recordings come from Debian packages (none of their audio is kept here): alsa-utils, hydrogen-drumkits, sonic-pi-samples. The filter's
summary has one decimal; its frame metadata have three, and the last frame's values are those of the whole file. The filter works in whole
tenths of a second, so that up to 0.1 s at the end of a file is not in them.

The loudness range is that of one programme: the stereo recordings at 44.1 kHz in a row. EBU Tech 3342 takes the values of rank
round((n - 1)*p + 1), the filter those of rank floor(n*p + 0.5): among the few dozen values of one short recording that one rank can be
1 LU; among some five hundred it cannot be seen.
"""
import hashlib
import json
import subprocess

RECORDINGS = [
    "/usr/share/sounds/alsa/Front_Center.wav",
    "/usr/share/hydrogen/data/drumkits/ForzeeStereo/Crash18-0.wav",
    "/usr/share/sonic-pi/samples/ambi_sauna.flac",
    "/usr/share/sonic-pi/samples/ambi_lunar_land.flac",
    "/usr/share/sonic-pi/samples/bass_voxy_c.flac",
    "/usr/share/sonic-pi/samples/guit_em9.flac",
    "/usr/share/sonic-pi/samples/loop_amen_full.flac",
    "/usr/share/sonic-pi/samples/loop_garzul.flac",
    "/usr/share/sonic-pi/samples/loop_tabla.flac",
    "/usr/share/sonic-pi/samples/perc_bell.flac",
]


def readings(paths):
    """The last frame's metadata of the filter over recordings in a row."""
    inputs = [word for path in paths for word in ("-i", path)]
    text = subprocess.run(
        ["ffmpeg", "-hide_banner", "-nostats", "-loglevel", "error", *inputs, "-filter_complex",
         f"concat=n={len(paths)}:v=0:a=1,ebur128=metadata=1:peak=true,ametadata=mode=print:file=-", "-f", "null", "-"],
        check=True, capture_output=True, text=True).stdout
    return dict(line.strip().split("=", 1) for line in text.splitlines() if line.startswith("lavfi.r128."))


def measure(path):
    values = readings([path])
    return {
        "integratedLufs": float(values["lavfi.r128.I"]),
        "truePeakLinear": max(float(v) for k, v in values.items() if k.startswith("lavfi.r128.true_peaks_ch")),
    }


def package(path):
    owner = subprocess.run(["dpkg", "-S", path], check=True, capture_output=True, text=True).stdout.split(":")[0]
    version = subprocess.run(["dpkg-query", "-W", "-f=${Version}", owner], check=True, capture_output=True, text=True).stdout
    return f"{owner} {version}"


def main():
    version = subprocess.run(["ffmpeg", "-version"], check=True, capture_output=True, text=True).stdout.split()[2]
    rows = []
    for path in RECORDINGS:
        with open(path, "rb") as file:
            digest = hashlib.sha256(file.read()).hexdigest()
        rows.append({"path": path, "package": package(path), "sha256": digest, **measure(path)})
    programme = [path for path in RECORDINGS if "sonic-pi" in path]
    values = readings(programme)
    print(json.dumps({
        "measuredWith": f"ffmpeg {version}, ebur128=peak=true",
        "recordings": rows,
        "programme": {
            "paths": programme,
            "integratedLufs": float(values["lavfi.r128.I"]),
            "loudnessRangeLu": float(values["lavfi.r128.LRA"]),
        },
    }, indent=2))


main()
