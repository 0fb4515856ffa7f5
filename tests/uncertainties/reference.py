"""Relative standard uncertainty of doses, by the `uncertainties` package.

One case to a line on standard input, a word and numbers; one number to a line on standard output.
Formulas are written out as quotients of quantities, so that the package finds every sensitivity by
itself.
"""

import math
import sys
from statistics import NormalDist

from uncertainties import ufloat


def relative(value):
    return value.std_dev / value.nominal_value


def each_for_itself():
    """How readings are off that know nothing of one another."""
    return lambda value, off_by: ufloat(value, off_by)


def all_alike():
    """How weighings are off: the balance rounds the same thing the same way each time."""
    off = ufloat(0.0, 1.0)
    return lambda value, off_by: value + off_by * off


def dose(strength, holds, holds_u, scatter, pour, *runs, off=each_for_itself):
    """p·F/d, d the mean of drawn/catch, each reading with its own absolute uncertainty."""
    count = len(runs) // 4
    drew, caught = off(), off()
    fractions = []
    for i in range(count):
        drawn, drawn_u, catch, catch_u = runs[4 * i : 4 * i + 4]
        fractions.append(drew(drawn, drawn_u) / caught(catch, catch_u))
    spread = ufloat(1.0, scatter)
    for _ in range(count - 1):
        spread += ufloat(1.0, scatter)
    mean = sum(fractions) / count * (spread / count)
    exact = strength * ufloat(holds, holds_u) / mean
    return relative(exact * ufloat(1.0, pour))


def dose_weighed(*numbers):
    """The same where the volumes were weighed."""
    return dose(*numbers, off=all_alike)


def scattered(exact, count, scatter, pour):
    """What is common to every way: scatter over so many runs, and pouring."""
    spread = sum(ufloat(1.0, scatter) for _ in range(count)) / count
    return relative(exact / spread * ufloat(1.0, pour))


def by_measure(holds, holds_u, scatter, pour, *runs):
    """F/d where the container was read once and each run draws that less what it left."""
    fill = ufloat(holds, holds_u)
    fractions = []
    for left, left_u, catch, catch_u in zip(*[iter(runs)] * 4):
        # Nothing left is nothing read.
        rest = ufloat(left, left_u) if left else 0.0
        fractions.append((fill - rest) / ufloat(catch, catch_u))
    mean = sum(fractions) / len(fractions)
    return scattered(fill / mean, len(fractions), scatter, pour)


def by_weight(holds, holds_u, scatter, pour, *runs):
    """F/d where each run weighs what it drew, and the container was measured apart."""
    drew, caught = all_alike(), all_alike()
    fractions = []
    for _, drawn_u, catch, catch_u in zip(*[iter(runs)] * 4):
        fractions.append(drew(holds, drawn_u) / caught(catch, catch_u))
    ratio = ufloat(holds, holds_u) / sum(fractions)
    return scattered(ratio, len(fractions), scatter, pour)


def corrected(drawn, carrier, time, time_u):
    """The share of the time in a dose over d' = (drawn/t)/(drawn/t + carrier)."""
    draw = drawn / ufloat(time, time_u)
    return relative(1.0 / (draw / (draw + carrier)))


def blend(prior, own, freedom):
    """A scatter of four degrees of freedom and one of its own, as the variance of all deviations."""
    deviations = [prior**2] * 4 + [own**2] * int(freedom)
    return math.sqrt(math.fsum(deviations) / len(deviations))


def student_within(limit, freedom):
    """How likely Student's t lies within the limit: its density, summed by Simpson's rule."""
    scale = math.exp(math.lgamma((freedom + 1) / 2) - math.lgamma(freedom / 2))
    scale /= math.sqrt(freedom * math.pi)
    steps = 400
    width = limit / steps
    weights = [1] + [4, 2] * (steps // 2 - 1) + [4, 1]
    heights = ((1 + (i * width) ** 2 / freedom) ** (-(freedom + 1) / 2) for i in range(steps + 1))
    return 2 * scale * width / 3 * sum(w * h for w, h in zip(weights, heights))


def factor(freedom):
    """The 95 % point of Student's t with four degrees of freedom more, over that of the normal."""
    low, high = 1.0, 13.0
    while high - low > 1e-9:
        middle = (low + high) / 2
        if student_within(middle, freedom + 4) < 0.95:
            low = middle
        else:
            high = middle
    return low / NormalDist().inv_cdf(1 - 0.05 / 2)


def one_fill(holds, scatter, pour, *runs):
    """p = D·d/F over the p that was reckoned: d of the fill itself, the mean of the runs' in D."""
    fractions = [holds / ufloat(catch, catch_u) for catch, catch_u in zip(*[iter(runs)] * 2)]
    spread = sum(ufloat(1.0, scatter) for _ in fractions) / len(fractions)
    dose = ufloat(1.0, pour) * holds / (sum(fractions) / len(fractions) * spread)
    return relative(dose / holds * ufloat(1.0, scatter))


def loads(*steps):
    """Loads read on lines that far apart: half a step each way, rectangular."""
    total = sum(ufloat(100.0, step / 12**0.5) for step in steps)
    return total.std_dev


def weighed(lighter, heavier, step, ml_per_gram):
    """The volume between two readings of a balance, kg; in ml."""
    reading = step / 12**0.5
    net = ufloat(heavier, reading) - ufloat(lighter, reading)
    return (net * 1000.0 * ml_per_gram).std_dev


CASES = {
    "dose": dose,
    "dose-weighed": dose_weighed,
    "run-dry": by_measure,
    "timed": by_measure,
    "by-weight": by_weight,
    "corrected": corrected,
    "blend": blend,
    "factor": factor,
    "one-fill": one_fill,
    "loads": loads,
    "weighed": weighed,
}

# All of it is read before anything is written, so that neither side waits on a full pipe.
for line in sys.stdin.read().splitlines():
    word, *numbers = line.split()
    print(repr(float(CASES[word](*map(float, numbers)))))
