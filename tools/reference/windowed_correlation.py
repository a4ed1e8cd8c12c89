#!/usr/bin/env python3
"""Follows the tape by windowed cross-correlation, the usual straightforward way: the baseline that the time map is measured against.

Run:  /usr/bin/python3 tools/reference/windowed_correlation.py FOLDER
FOLDER holds passes; each has capture.wav, sources/NAME.wav, and lines.csv with a row a source: name, capture channel (from 0), capture second
of the source's start, capture seconds per source second. That line is the best straight one through the truth, which nobody has: the
baseline is given a better start than the program makes for itself. Writes NAME.map.csv (source second, capture second every 10 ms) beside
each pass's lines.csv and prints processor seconds and seconds of sound.

Method: the capture is retimed along the line. Windows of 43 ms every 11 ms, Hann, source against capture; cross-spectrum with partial
whitening |C|^-0.6 from 60 Hz to 8 kHz; highest peak within 10 ms, parabola through its three points; windows below -50 dB or with a low peak
are left out; running median of five against outliers; a smoothing spline weighted by the peaks. Of windows of 43 and 85 ms, hops of 5, 11
and 21 ms and exponents of 0.3, 0.6 and 0.8 these were the most accurate on the whole.
"""

import csv
import pathlib
import resource
import sys
import warnings

import numpy
import scipy.interpolate
import scipy.io.wavfile
import scipy.signal

WINDOW = 2048
HOP = 512
PAD = 4096
REACH_SECONDS = 0.010
LOW_HZ, HIGH_HZ = 60.0, 8000.0
WHITENING = 0.6
QUIETEST_DB = -50.0
LEAST_PEAK = 0.2


def read(path):
    with warnings.catch_warnings():
        # Chunks that SciPy does not know are none of our business here.
        warnings.simplefilter("ignore", scipy.io.wavfile.WavFileWarning)
        rate, samples = scipy.io.wavfile.read(path)
    scale = 1.0 if samples.dtype.kind == "f" else 2.0 ** (8 * samples.dtype.itemsize - 1)
    return rate, samples.reshape(len(samples), -1).astype(float) / scale


def along_line(capture, rate, start, speed, count):
    """The capture read at start + speed * t, by a cubic through its samples at four times the rate."""
    margin = 64
    first = int(numpy.floor(start * rate)) - margin
    last = int(numpy.ceil((start + speed * count / rate) * rate)) + margin
    piece = numpy.zeros(last - first)
    have = capture[max(first, 0) : max(min(last, len(capture)), 0)]
    piece[max(-first, 0) : max(-first, 0) + len(have)] = have
    fine = scipy.signal.resample_poly(piece, 4, 1)
    positions = (start * rate - first + speed * numpy.arange(count)) * 4
    return scipy.interpolate.make_interp_spline(numpy.arange(len(fine)), fine, k=3)(positions)


def follow(source, capture, rate):
    """Lag of the capture against the source, seconds, at the middles of the windows that hold sound, with weights."""
    window = scipy.signal.get_window("hann", WINDOW)
    hertz = numpy.fft.rfftfreq(PAD, 1 / rate)
    band = (hertz >= LOW_HZ) & (hertz <= HIGH_HZ)
    reach = int(REACH_SECONDS * rate)
    starts = numpy.arange(0, len(source) - WINDOW, HOP)
    loudest = max((source[s : s + WINDOW] ** 2).mean() for s in starts)
    times, lags, weights = [], [], []
    for s in starts:
        x = source[s : s + WINDOW]
        if 10 * numpy.log10((x**2).mean() / loudest + 1e-30) < QUIETEST_DB:
            continue
        spectrum = numpy.conj(numpy.fft.rfft(x * window, PAD)) * numpy.fft.rfft(capture[s : s + WINDOW] * window, PAD)
        size = numpy.abs(spectrum)
        weighted = numpy.where(band, spectrum / (size + 1e-9 * size.max() + 1e-30) ** WHITENING, 0)
        correlation = numpy.fft.irfft(weighted, PAD)
        correlation = numpy.concatenate((correlation[-reach - 1 :], correlation[: reach + 2]))
        k = 1 + int(numpy.argmax(correlation[1:-1]))
        before, peak, after = correlation[k - 1 : k + 2]
        bound = 2 * numpy.abs(weighted).sum() / PAD
        if peak < LEAST_PEAK * bound:
            continue
        curvature = before - 2 * peak + after
        offset = 0.5 * (before - after) / curvature if curvature < 0 else 0.0
        times.append((s + WINDOW / 2) / rate)
        lags.append((k + offset - reach - 1) / rate)
        weights.append(peak / bound)
    return numpy.array(times), numpy.array(lags), numpy.array(weights)


def smooth(times, lags, weights, at):
    """Median of five, then a cubic smoothing spline that leaves as much as the medians took away."""
    if len(times) < 6:
        return numpy.full(len(at), numpy.median(lags) if len(lags) else 0.0)
    calm = scipy.signal.medfilt(lags, 5)
    calm[:2], calm[-2:] = numpy.median(lags[:5]), numpy.median(lags[-5:])
    noise = max(1.4826 * numpy.median(numpy.abs(lags - calm)), 2e-6)
    spline = scipy.interpolate.UnivariateSpline(times, calm, w=weights / weights.mean() / noise, k=3, s=len(times))
    return spline(numpy.clip(at, times[0], times[-1]))


def main(folder):
    sound = 0.0
    used = 0.0
    for listing in sorted(pathlib.Path(folder).glob("*/lines.csv")):
        rate, capture = read(listing.parent / "capture.wav")
        with open(listing, encoding="utf-8") as file:
            rows = list(csv.reader(file))
        for name, channel, start, speed in rows:
            _, source = read(listing.parent / "sources" / f"{name}.wav")
            source, start, speed = source[:, 0], float(start), float(speed)
            before = resource.getrusage(resource.RUSAGE_SELF)
            heard = along_line(capture[:, int(channel)], rate, start, speed, len(source))
            at = numpy.arange(0, len(source) / rate, 0.01)
            lag = smooth(*follow(source, heard, rate), at)
            after = resource.getrusage(resource.RUSAGE_SELF)
            used += after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
            sound += len(source) / rate
            # Heard at s + lag along the line.
            numpy.savetxt(
                listing.parent / f"{name}.map.csv", numpy.column_stack((at, start + speed * (at + lag))), fmt="%.9f", delimiter=","
            )
    print(f"{used:.3f} {sound:.3f}")


if __name__ == "__main__":
    main(sys.argv[1])
