#!/usr/bin/env python3
"""A tape path that shares no line with the simulator: NumPy and SciPy alone.

  outside_tape.py SEND CAPTURE TRUTH typical|worn SEED [off-tape] [minimum-phase]

Plays a send (WAV, 32-bit float or PCM of 16 or 32 bits, 48 kHz) through two runs of tape, or one heard off tape, and writes the capture (WAV, 32-bit
float) and the truth (text: capture second, send second, a line each millisecond). What it does differently from the simulator: speed is drawn by
spectrum and its integral joined by cubic splines; sound is moved by eightfold oversampling and Lagrange's polynomial of fifth order; the tape's curve is a
bounded cube; minimum phase is that of a Butterworth and a bell filter; dropouts are Hann-shaped.

Wow and flutter is set by the weighting of IEC 60386, so that twice the deviation is 0.15 % (typical) or 0.5 % (worn).
"""

import sys

import numpy as np
from scipy import interpolate, signal
from scipy.io import wavfile

RATE = 48000
SPEED_RATE = 200
DECKS = {
    #            w&f %  S/N dB  to Hz  from Hz  run to run  crosstalk dB  delay s
    "typical": (0.15, 50, 14000, 28, 0.004, -45, 9e-6),
    "worn": (0.5, 40, 9000, 45, 0.02, -38, 45e-6),
}
LINES_HZ = ((0.55, 0.7), (1.31, 0.5), (5.9, 0.6), (11.8, 0.25), (9.4, 0.5), (27.3, 0.25))


def read(path):
    rate, sound = wavfile.read(path)
    assert rate == RATE, rate
    scale = {"int32": 2.0**31, "int16": 2.0**15}.get(str(sound.dtype), 1.0)
    sound = sound.astype(float) / scale
    return sound if sound.ndim == 2 else sound[:, None]


def weighting(hertz):
    """IEC 60386, points of its table joined straight over log frequency."""
    at = [0.1, 0.2, 0.315, 0.4, 0.63, 0.8, 1, 1.6, 2, 4, 6.3, 10, 20, 40, 63, 100, 200]
    db = [-48, -30.6, -19.7, -15, -8.4, -6, -4.2, -1.8, -0.9, 0, -0.9, -2.1, -5.9, -10.4, -14.2, -17.3, -23]
    return 10 ** (np.interp(np.log(np.maximum(hertz, 0.1)), np.log(at), db) / 20)


def wander(count, two_sigma_percent, rng):
    t = np.arange(count) / SPEED_RATE
    deviation = sum(a * np.sin(2 * np.pi * f * t + rng.uniform(0, 2 * np.pi)) for f, a in LINES_HZ)
    hertz = np.fft.rfftfreq(count, 1 / SPEED_RATE)
    spectrum = np.zeros(len(hertz), complex)
    on = (hertz > 0.05) & (hertz < 60)
    spectrum[on] = (rng.normal(size=on.sum()) + 1j * rng.normal(size=on.sum())) / np.sqrt(hertz[on]) / (1 + (hertz[on] / 25) ** 4)
    random = np.fft.irfft(spectrum, count)
    band = signal.sosfilt(signal.butter(2, [30, 80], "band", fs=SPEED_RATE, output="sos"), rng.normal(size=count))
    deviation = deviation + 0.8 * random / random.std() + 0.45 * band / band.std()
    weighted = np.fft.irfft(np.fft.rfft(deviation) * weighting(hertz), count)
    return deviation / (2 * weighted.std()) * two_sigma_percent / 100


def moved(sound, frames):
    """Channels read at fractional frames."""
    out = np.empty((len(frames), sound.shape[1]))
    for channel in range(sound.shape[1]):
        fine = np.pad(signal.resample_poly(sound[:, channel], 8, 1, window=("kaiser", 10.0)), (4, 8))
        at = frames * 8
        i = np.floor(at).astype(int)
        z = at - i
        i = np.clip(i + 4, 2, len(fine) - 5)
        points = [fine[i + k] for k in range(-2, 4)]
        out[:, channel] = sum(
            points[k + 2] * np.prod([(z - j) / (k - j) for j in range(-2, 4) if j != k], axis=0) for k in range(-2, 4)
        )
    return out


def main(send, capture, truth, deck, seed, *options):
    rng = np.random.default_rng(int(seed))
    flutter, snr_db, top_hz, low_hz, run_to_run, crosstalk_db, delay = DECKS[deck]
    sound = read(send)
    count = len(sound)
    values = int((count * 1.05 / RATE + 6) * SPEED_RATE) + 400
    clock = np.arange(values) / SPEED_RATE

    def run(mean):
        speed = 1 + mean + wander(values, flutter / np.sqrt(2), rng)
        position = np.concatenate([[0], np.cumsum((speed[1:] + speed[:-1]) / 2) / SPEED_RATE])
        return interpolate.CubicSpline(clock, position), interpolate.CubicSpline(position, clock)

    recorded, when_recorded = run(0)
    if "off-tape" in options:
        gap = 4.2e-3 / 47.625e-3  # seconds of tape from head to head
        heard = lambda t: when_recorded(recorded(t) - gap)
    else:
        replayed, _ = run(run_to_run * rng.choice([-1, 1]))
        heard = lambda t: when_recorded(replayed(t))
    lead = rng.uniform(1.5, 3.5)
    at = np.arange(int((count / RATE * 1.025 + lead + 2) * RATE)) / RATE
    before = at < lead
    seconds = np.where(before, -1, heard(np.maximum(at - lead, 0) + 0.5) - heard(0.5))

    third, second = (0.35, 0.008) if deck == "worn" else (0.25, 0.002)
    tape = sound - third * sound**3 / 3 / (1 + sound**2) + second * sound**2
    back = moved(np.pad(tape, ((0, RATE), (0, 0))), np.clip(seconds, 0, count / RATE + 0.5) * RATE)
    back[before] = 0
    if back.shape[1] == 2:
        back[:, 1] = moved(back[:, 1:2], np.clip(np.arange(len(back)) - delay * RATE, 0, None))[:, 0]
        back = back + 10 ** (crosstalk_db / 20) * back[:, ::-1]
    if "minimum-phase" in options:
        ends = [signal.butter(4, top_hz, fs=RATE, output="sos"), signal.butter(1, low_hz, "high", fs=RATE, output="sos")]
        back = signal.sosfilt(np.concatenate(ends), back, axis=0)
        turn, amplitude = 2 * np.pi * 70 / RATE, 10 ** (1.5 / 40)
        alpha = np.sin(turn) / (2 * 1.2)
        b = [1 + alpha * amplitude, -2 * np.cos(turn), 1 - alpha * amplitude]
        a = [1 + alpha / amplitude, -2 * np.cos(turn), 1 - alpha / amplitude]
        back = signal.lfilter(b, a, back, axis=0)
    else:
        hertz = np.fft.rfftfreq(len(back), 1 / RATE)
        gain = 1 / np.sqrt(1 + (hertz / top_hz) ** 8) / np.sqrt(1 + (low_hz / np.maximum(hertz, 1)) ** 4)
        back = np.fft.irfft(np.fft.rfft(back, axis=0) * gain[:, None], len(back), axis=0)
    if deck == "worn":
        level = np.ones(len(back))
        for _ in range(int(len(back) / RATE / 10)):
            start, length = rng.integers(0, len(back) - RATE), int(rng.uniform(0.005, 0.06) * RATE)
            level[start : start + length] *= 1 - (1 - 10 ** (-rng.uniform(3, 20) / 20)) * np.hanning(length)
        back *= level[:, None]
    noise = signal.sosfilt(signal.butter(1, 60, "high", fs=RATE, output="sos"), rng.normal(size=back.shape), axis=0)
    heard_noise = signal.sosfilt(signal.butter(2, [100, 10000], "band", fs=RATE, output="sos"), noise[:, 0])
    back += noise / heard_noise.std() * 10 ** (-(snr_db + 12) / 20)
    wavfile.write(capture, RATE, (back * 10 ** (-4 / 20)).astype(np.float32))
    step = RATE // 1000
    np.savetxt(truth, np.column_stack([at[::step], seconds[::step]])[~before[::step]], fmt="%.9f")


main(*sys.argv[1:])
