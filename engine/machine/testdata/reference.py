#!/usr/bin/env python3
"""An independent twin of the model, written from its equations for scipy.

    python3 reference.py governed-motor > governed-motor.csv

It shares nothing with the Go code but the card file: it reads the constants
itself, integrates with scipy's DOP853 at a relative tolerance of 1e-12 in
steps of at most 0.2 ms, and finds the instants at which contacts change by
solve_ivp's own events. Each line is the state after so many seconds.
"""
import sys
import tomllib
from math import cos, pi, sin, sqrt, tanh
from pathlib import Path

import numpy as np
from scipy.integrate import solve_ivp

FACTOR = {"mm": 1e-3, "um": 1e-6, "g": 1e-3, "mH": 1e-3, "uF": 1e-6, "mA": 1e-3,
          "mV": 1e-3, "kohm": 1e3, "ms": 1e-3, "%": 1e-2, "mN m": 1e-3}
NAMES = ["ia", "if", "w", "theta", "s", "v"]
G = 9.81


def read(path):
    """All constants of a card in SI units, as {part: {key: value}}."""
    raw = tomllib.loads(path.read_text())
    return {part: {key: c["value"] * FACTOR.get(c["unit"], 1) for key, c in keys.items()}
            for part, keys in raw.items() if isinstance(keys, dict)}


class Twin:
    def __init__(self, card):
        self.card = card
        self.load_torque = 0.0
        self.closed = False   # governor contact
        self.stopped = False  # governor weight at its outer stop

    def rates(self, t, x):
        ia, i_f, w, th, s, v = x
        m, sh, g, b = (self.card[p] for p in ("motor", "shaft", "governor", "battery"))
        u = i_f / m["saturation-current"]
        K = m["residual-constant"] + m["constant-slope"] * i_f / sqrt(1 + u * u)
        dK = m["constant-slope"] * (1 + u * u) ** -1.5
        V = b["voltage"] - b["resistance"] * (ia + i_f)
        R = m["field-resistance"] + (0 if self.closed else m["field-resistor"])
        dia = (V - m["armature-resistance"] * ia
               - m["brush-drop"] * ia / sqrt(ia * ia + m["brush-drop-current"] ** 2)
               - K * w) / m["armature-inductance"]
        dif = (V - R * i_f) / (m["field-leakage-inductance"] + m["field-linkage"] * dK)

        sgn = tanh(w / 0.5)
        loss = (sh["friction"] * sgn + sh["viscous-friction"] * w + sh["windage"] * w * abs(w)
                + (K / m["iron-reference"]) ** 2 * (m["iron-hysteresis"] * sgn + m["iron-eddy"] * w))
        rho = g["radius"] + s
        mass = g["weight"]
        pull = K * ia - loss - self.load_torque * sgn - mass * rho * (G * sin(th) + 2 * v * w)
        dw = pull / (sh["inertia"] + mass * rho * rho)

        w0 = 2 * pi * g["spring-frequency"]
        wc = 2 * pi * g["contact-speed"]
        dv = (w * w * rho - wc * wc * g["radius"] - w0 * w0 * s
              - 2 * g["damping"] * w0 * v + G * cos(th))
        if self.closed:
            dv -= g["contact-stiffness"] / mass * s * max(0.0, 1 + g["contact-loss"] * v)
        if self.stopped:
            dv -= (g["stop-stiffness"] * (s - g["stop-travel"]) + g["stop-damping"] * v) / mass
        return [dia, dif, dw, w, v, dv]

    def guards(self):
        """(coordinate, level, waits for a rise, what to do) of each switch."""
        def flip(name):
            setattr(self, name, not getattr(self, name))
        stop = self.card["governor"]["stop-travel"]
        return [(4, 0.0, not self.closed, lambda: flip("closed")),
                (4, stop, not self.stopped, lambda: flip("stopped"))]

    def run(self, x, t0, t1):
        x = np.array(x, float)
        while t0 < t1:
            guards = self.guards()
            events = []
            for c, level, rising, _ in guards:
                def event(t, x, c=c, level=level):
                    return x[c] - level
                event.terminal = True
                event.direction = 1 if rising else -1
                events.append(event)
            r = solve_ivp(self.rates, (t0, t1), x, method="DOP853", rtol=1e-12, atol=1e-14,
                          max_step=2e-4, events=events)
            x, t0 = r.y[:, -1].copy(), r.t[-1]
            if r.status == 1:
                i = min((k for k in range(len(guards)) if len(r.t_events[k])),
                        key=lambda k: r.t_events[k][0])
                x[guards[i][0]] = guards[i][1]
                guards[i][3]()
            elif r.status != 0:
                raise SystemExit(r.message)
        return x


def governed_motor(twin):
    """Idle from a slow start, loaded from 2.5 s on."""
    x, t = [2.0, 0.5, 2 * pi * 19.5, 0.0, -2e-4, 0.0], 0.0
    twin.load_torque = 0.3
    yield t, x
    for k in range(1, 21):
        if k == 11:
            twin.load_torque = 1.3
        x = twin.run(x, t, 0.25 * k)
        t = 0.25 * k
        yield t, x


RUNS = {"governed-motor": governed_motor}

if __name__ == "__main__":
    name = sys.argv[1]
    twin = Twin(read(Path(__file__).with_name(name + ".toml")))
    print("t," + ",".join(NAMES))
    for t, x in RUNS[name](twin):
        print(",".join(repr(float(v)) for v in [t, *x]))
