#!/usr/bin/env python3
"""Reads recordings of spoken numbers back, in noise.

    read_back.py FOLDER < LINES

Each line names a recording in FOLDER (16 bits, mono, 48,000 samples a second, no header) and the
levels at which it is to be read, in dB above pink noise: "12.raw 40 20". For each line and level
comes one line: "12.raw 40 590", the number as heard, or "-" where no number was. The loudness of
speech is its mean square over the moments that sound.
"""

import os
import sys
from concurrent.futures import ProcessPoolExecutor

import numpy as np
from pocketsphinx import Decoder

HERE = os.path.dirname(os.path.abspath(__file__))
RATE = 16_000
SEED = 61_007  # of the noise; changes with the one in tests/readback.rs
LEVEL = 0.1  # of full scale: what the noise is added to
# Silence is as likely between words as not; a grammar of single numbers has no language model to
# weigh, and no second pass.
OPTIONS = {"cmn": "batch", "lw": 1.0, "silprob": 0.5, "bestpath": False}

UNITS = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen "
    "sixteen seventeen eighteen nineteen"
).split()
TENS = "twenty thirty forty fifty sixty seventy eighty ninety".split()


def value(words):
    """The number that English words stand for, as figures."""
    before, _, behind = words.partition(" point ")
    whole = part = 0
    for word in before.split():
        if word in UNITS:
            part += UNITS.index(word)
        elif word in TENS:
            part += 10 * (TENS.index(word) + 2)
        elif word == "hundred":
            part *= 100
        elif word == "thousand":
            whole, part = part * 1000, 0
    figures = "".join(str(UNITS.index(word)) for word in behind.split())
    return f"{whole + part}.{figures}" if figures else str(whole + part)


def low_pass():
    """Below half of the lower rate, for taking every third sample."""
    n = np.arange(-72, 73)
    return np.sinc(n / 3 * 0.92) / 3 * 0.92 * np.blackman(len(n))


def recording(path):
    samples = np.fromfile(path, dtype="<i2") / 32768
    return np.convolve(samples, low_pass(), mode="same")[::3]


def sounding(x):
    """Mean square over the frames no more than 20 dB below the loudest."""
    n = RATE // 100
    squares = (x[: len(x) // n * n].reshape(-1, n) ** 2).mean(axis=1)
    return squares[squares >= squares.max() / 100].mean()


def pink(n, chance):
    size = 1 << (n - 1).bit_length()
    spectrum = np.fft.rfft(chance.standard_normal(size))
    spectrum[1:] /= np.sqrt(np.arange(1, len(spectrum)))
    spectrum[0] = 0
    x = np.fft.irfft(spectrum)[:n]
    return x / np.sqrt((x**2).mean())


decoder = None


def start():
    global decoder
    decoder = Decoder(lm=None, samprate=RATE, loglevel="FATAL", **OPTIONS)
    with open(os.path.join(HERE, "numbers.jsgf"), encoding="utf-8") as grammar:
        decoder.add_jsgf_string("numbers", grammar.read())
    decoder.activate_search("numbers")


def read_back(job):
    path, levels = job
    speech = recording(path)
    speech *= LEVEL / np.sqrt(sounding(speech))
    pause = np.zeros(RATE * 3 // 10)
    speech = np.concatenate([pause, speech, pause])
    heard = []
    for level in levels:
        number = int(os.path.basename(path).split(".")[0])
        noise = pink(len(speech), np.random.default_rng([SEED, number, level]))
        mixed = speech + noise * LEVEL / 10 ** (level / 20)
        decoder.start_utt()
        samples = (np.clip(mixed, -1, 1) * 32767).astype("<i2")
        decoder.process_raw(samples.tobytes(), full_utt=True)
        decoder.end_utt()
        hypothesis = decoder.hyp()
        # A second pronunciation comes as "word(2)".
        words = [w.split("(")[0] for w in hypothesis.hypstr.split()] if hypothesis else []
        heard.append(value(" ".join(words)) if words else "-")
    return heard


def main():
    jobs = []
    for line in sys.stdin:
        name, *levels = line.split()
        jobs.append((os.path.join(sys.argv[1], name), [int(level) for level in levels]))
    with ProcessPoolExecutor(2, initializer=start) as pool:
        for (path, levels), heard in zip(jobs, pool.map(read_back, jobs, chunksize=4)):
            for level, number in zip(levels, heard):
                print(os.path.basename(path), level, number)


if __name__ == "__main__":
    main()
