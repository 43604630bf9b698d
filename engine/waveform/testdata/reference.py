#!/usr/bin/python3
"""Writes the reference files of this folder: signals.csv, values.csv and
tone.wav. It shares no code with the package: integrals are Gauss-Legendre sums
(exact to rounding on pieces this short), transforms are numpy's, windows are
scipy's, and the sound file is written by Python's own wave module.

    cd testdata && /usr/bin/python3 reference.py

Made with Python 3.11, numpy 1.24.2 and scipy 1.10.1.
"""
import wave

import numpy as np
from numpy.polynomial.legendre import leggauss
from scipy.integrate import quad
from scipy.signal import get_window

rng = np.random.default_rng(1914)
nodes, weights = leggauss(16)


def pieces(t, y, stepped):
    """(t0, t1, value function) of each piece of the drawing."""
    for i in range(len(t) - 1):
        a, b = t[i], t[i + 1]
        if stepped:
            yield a, b, lambda x, c=y[i]: c + 0 * x
        else:
            yield a, b, lambda x, i=i: np.interp(x, t[i:i + 2], y[i:i + 2])


def integral(t, y, stepped, f):
    total = 0.0
    for a, b, value in pieces(t, y, stepped):
        # parts short enough for the highest order: less than a radian each
        edges = np.linspace(a, b, 2 + int((b - a) * 6e4))
        for a, b in zip(edges[:-1], edges[1:]):
            x = (a + b) / 2 + (b - a) / 2 * nodes
            total += (b - a) / 2 * np.sum(weights * f(x, value(x)))
    return total


def measures(t, y, stepped, periods, orders):
    span = t[-1] - t[0]
    mean = integral(t, y, stepped, lambda x, v: v) / span
    yield "mean", mean
    yield "rms", np.sqrt(integral(t, y, stepped, lambda x, v: v * v) / span)
    yield "ac rms", np.sqrt(integral(t, y, stepped, lambda x, v: (v - mean) ** 2) / span)
    w = 2 * np.pi * periods / span
    for k in orders:
        c = 2 / span * integral(t, y, stepped, lambda x, v: v * np.exp(-1j * k * w * (x - t[0])))
        yield f"amplitude {k}", abs(c)
        yield f"phase {k}", np.angle(c)


def spectrum(t, y, n, lines):
    at = t[0] + (t[-1] - t[0]) * np.arange(n) / n
    even = np.interp(at, t, y)
    c = np.fft.rfft((even - even.mean()) * get_window("hann", n, fftbins=True))
    scale = 2 / get_window("hann", n, fftbins=True).sum()
    for k in lines:
        yield f"line {k} of {n}", abs(c[k]) * scale if k else abs(even.mean())


signals, values = [], []


def put(name, stepped, t, y, results):
    for a, b in zip(t, y):
        signals.append(f"{name},{int(stepped)},{a!r},{b!r}")
    for what, v in results:
        values.append(f"{name},{what},{float(v)!r}")


# three periods of a distorted voltage, seen at odd instants
t = np.concatenate([[0.7], np.sort(rng.uniform(0.7, 0.85, 211)), [0.85]])
w = 2 * np.pi * 20
y = 3 + 120 * np.sin(w * t + 0.3) + 9 * np.sin(2 * w * t) + 14 * np.cos(3 * w * t) + 2 * np.sin(11 * w * t + 1)
orders = [1, 2, 3, 5, 11, 40, 63, 64, 65, 200]
put("voltage", False, t, y, list(measures(t, y, False, 3, orders)) + list(spectrum(t, y, 512, [0, 1, 2, 3, 4, 9, 33, 100])))

# a contact that works at odd instants, two turns
t = np.concatenate([[0.0], np.sort(rng.uniform(0, 0.1, 17)), [0.1]])
y = np.array([float(i % 2) for i in range(len(t))])
put("contact", True, t, y, measures(t, y, True, 2, orders))

# a pulse train with noise: the modes of the halves of numpy's histogram
n = 4000
t = np.arange(n) / 10e3
phase = (t * 37.3) % 1
y = np.where(phase < 0.31, 4.8, 0.2) + rng.normal(0, 0.05, n)
counts, edges = np.histogram(y, bins=256)
middles = (edges[:-1] + edges[1:]) / 2
put("pulses", False, t[:0], y[:0], [
    ("low", middles[:128][np.argmax(counts[:128])]),
    ("high", middles[128:][np.argmax(counts[128:])]),
    ("bin", edges[1] - edges[0]),
])
with open("pulses.csv", "w") as f:
    f.writelines(f"{v:.4f}\n" for v in y)

# the r.m.s. of a smooth curve, for the drawing with many samples: scipy's quad
smooth = lambda x: np.exp(np.sin(2 * np.pi * x)) + 0.2 * np.cos(6 * np.pi * x)
values.append(f"smooth,rms,{np.sqrt(quad(lambda x: smooth(x) ** 2, 0, 1, epsabs=1e-13, epsrel=1e-13)[0])!r}")
values.append(f"smooth,mean,{quad(smooth, 0, 1, epsabs=1e-13, epsrel=1e-13)[0]!r}")

with open("signals.csv", "w") as f:
    f.write("signal,stepped,t,y\n" + "\n".join(signals) + "\n")
with open("values.csv", "w") as f:
    f.write("signal,what,value\n" + "\n".join(values) + "\n")

# a tone of two sines, 0.1 s, with raised-cosine ends of 0.02 s
rate, n = 8000, 800
i = np.arange(n)
y = (3 * np.cos(2 * np.pi * 160 * i / rate) + np.cos(2 * np.pi * 420 * i / rate - 0.5)) / 4
edge = np.minimum(i, n - 1 - i)
y *= np.where(edge < 160, 0.5 - 0.5 * np.cos(np.pi * edge / 160), 1)
with wave.open("tone.wav", "wb") as f:
    f.setnchannels(1)
    f.setsampwidth(2)
    f.setframerate(rate)
    f.writeframes(np.rint(0.5 * 32767 * y).astype("<i2").tobytes())
