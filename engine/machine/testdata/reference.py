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
MORE = ["ig", "ir", "ib", "vc", "is", "z", "vz", "q"]
G = 9.81


def read(path):
    """All constants of a card in SI units, as {part: {key: value}}."""
    raw = tomllib.loads(path.read_text())
    return {part: {key: c["value"] * FACTOR.get(c["unit"], 1) for key, c in keys.items()}
            for part, keys in raw.items() if isinstance(keys, dict)}


def curve(m, i):
    """Machine constant and its slope at field current i."""
    u = i / m["saturation-current"]
    p = m["saturation-sharpness"]
    b = 1 + abs(u) ** p
    return (m["residual-constant"] + m["constant-slope"] * i * b ** (-1 / p),
            m["constant-slope"] * b ** (-1 / p - 1))


def iron(m, K, w):
    return (K / m["iron-reference"]) ** 2 * (m["iron-hysteresis"] * tanh(w / 0.5) + m["iron-eddy"] * w)


class Twin:
    def __init__(self, card):
        self.card = card
        self.load_torque = 0.0
        self.rheostat = None  # ohm
        self.bells = 0
        self.closed = False   # governor contact
        self.stopped = False  # governor weight at its outer stop
        self.shut = False     # regulator contact
        self.topped = False   # regulator plunger at its upper stop
        self.blown = False    # fuse

    def rates(self, t, x):
        c = self.card
        ia, i_f, w, th, s, v = x[:6]
        sgn = tanh(w / 0.5)
        sh, g, b = c["shaft"], c["governor"], c["battery"]

        m = c["motor"]
        K, dK = curve(m, i_f)
        V = b["voltage"] - b["resistance"] * (ia + i_f)
        R = m["field-resistance"] + (0 if self.closed else m["field-resistor"])
        dia = (V - m["armature-resistance"] * ia
               - m["brush-drop"] * ia / sqrt(ia * ia + m["brush-drop-current"] ** 2)
               - K * w) / m["armature-inductance"]
        dif = (V - R * i_f) / (m["field-leakage-inductance"] + m["field-linkage"] * dK)
        if self.blown:
            dia = 0.0
        pull = (K * ia - iron(m, K, w) - self.load_torque * sgn - sh["friction"] * sgn
                - sh["viscous-friction"] * w - sh["windage"] * w * abs(w))
        rest = []
        if "generator" in c:
            rest, torque = self.generator(x, w)
            pull -= torque
        for name in ("low-tone", "high-tone"):
            if name in c:
                k = c[name]
                r = k["winding-resistance"] + k["load-resistance"]
                emf = k["linkage-slope"] * k["teeth"] * w * k["exciting-current"]
                z2 = r * r + (k["teeth"] * w * k["winding-inductance"]) ** 2
                pull -= emf * emf / w * r / (2 * z2)

        rho = g["radius"] + s
        mass = g["weight"]
        pull -= mass * rho * (G * sin(th) + 2 * v * w)
        dw = pull / (sh["inertia"] + mass * rho * rho)
        w0 = 2 * pi * g["spring-frequency"]
        wc = 2 * pi * g["contact-speed"]
        dv = (w * w * rho - wc * wc * g["radius"] - w0 * w0 * s
              - 2 * g["damping"] * w0 * v + G * cos(th))
        if self.closed:
            dv -= g["contact-stiffness"] / mass * s * max(0.0, 1 + g["contact-loss"] * v)
        if self.stopped:
            dv -= (g["stop-stiffness"] * (s - g["stop-travel"]) + g["stop-damping"] * v) / mass
        d = [dia, dif, dw, w, v, dv] + rest
        if "fuse" in c:
            d.append(0.0 if self.blown else (ia * ia - x[13]) / c["fuse"]["time-constant"])
        return d

    def generator(self, x, w):
        c = self.card
        ig, ir, ib, vc, i_s, z, vz = x[6:13]
        a, q, bell = c["generator"], c["regulator"], c["bell"]
        K, dK = curve(a, ig)
        sine = sin(x[3] + c["output"]["angle"] * pi / 180)
        E = K * w
        Ra, La = a["armature-resistance"], a["armature-inductance"]
        Lc = q["coil-inductance"] + q["coil-inductance-slope"] * z
        iac = i_s + self.bells * ib + (ir if self.rheostat else 0.0)

        def branches(v):
            """Rates of the ring currents at a ring voltage v."""
            dr = 0.0
            if self.rheostat:
                Lr = c["rheostat"]["time-constant"] * self.rheostat
                dr = (v - self.rheostat * ir) / Lr
            db = (v - bell["resistance"] * ib - vc) / bell["inductance"] if self.bells else 0.0
            dc = (v - (q["coil-resistance"] + q["coil-inductance-slope"] * vz) * i_s) / Lc
            return dr, db, dc

        # v = e - Ra (iac + ig sin) - La diac/dt is linear in v: two trials give it
        def left(v):
            dr, db, dc = branches(v)
            return v - E * sine + Ra * (iac + ig * sine) + La * (dr + self.bells * db + dc)
        f0, f1 = left(0.0), left(1.0)
        vac = -f0 / (f1 - f0)
        dr, db, dc = branches(vac)

        vdc = E - Ra * (ig + iac * sine)
        R = a["field-resistance"] + (0 if self.shut else a["field-resistor"])
        dig = (vdc - R * ig) / (a["field-leakage-inductance"] + a["field-linkage"] * dK)
        dvc = ib / bell["capacitance"] if self.bells else 0.0
        force = (0.5 * q["coil-inductance-slope"] * i_s ** 2 - q["plunger-weight"]
                 - q["spring-stiffness"] * z - q["damping"] * vz)
        if self.shut:
            force -= q["contact-stiffness"] * z * max(0.0, 1 - q["contact-loss"] * vz)
        if self.topped:
            force -= q["stop-stiffness"] * (z - q["stop-travel"]) * max(0.0, 1 + q["stop-loss"] * vz)
        return ([dig, dr, db, dvc, dc, vz, force / q["plunger-mass"]],
                K * (ig + iac * sine) + iron(a, K, w))

    def guards(self):
        """(coordinate, level, waits for a rise, what to do) of each switch."""
        def flip(name):
            setattr(self, name, not getattr(self, name))

        def blow(x):
            self.blown = True
            x[0] = 0.0
        c = self.card
        stop = c["governor"]["stop-travel"]
        out = [(4, 0.0, not self.closed, lambda x: flip("closed")),
               (4, stop, not self.stopped, lambda x: flip("stopped"))]
        if "regulator" in c:
            h = c["regulator"]["contact-hysteresis"]
            out.append((11, h if self.shut else -h, self.shut, lambda x: flip("shut")))
            out.append((11, c["regulator"]["stop-travel"], not self.topped, lambda x: flip("topped")))
        if "fuse" in c and not self.blown:
            out.append((13, c["fuse"]["melting-current"] ** 2, True, blow))
        return out

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
                guards[i][3](x)
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


def whole_set(twin):
    """Idle, half load at 1 s, full load and ten bells at 2 s, idle at 4 s."""
    x = [2.0, 0.46, 2 * pi * 19.9, 0.0, -2e-4, 0.0,
         0.17, 0.0, 0.0, 0.0, 0.0, -1e-4, 0.0, 4.0]
    twin.shut, t = True, 0.0
    yield t, x
    for k in range(1, 21):
        now = 0.25 * (k - 1)
        if now == 1:
            twin.rheostat = 94.0
        if now == 2:
            twin.rheostat, twin.bells = 47.0, 10
        if now == 4:
            twin.rheostat, twin.bells = None, 0
            x[7], x[8], x[9] = 0.0, 0.0, 0.0
        x = twin.run(x, t, 0.25 * k)
        t = 0.25 * k
        yield t, x


RUNS = {"governed-motor": governed_motor, "whole-set": whole_set}

if __name__ == "__main__":
    name = sys.argv[1]
    twin = Twin(read(Path(__file__).with_name(name + ".toml")))
    names = NAMES + (MORE if "generator" in twin.card else [])
    print("t," + ",".join(names))
    for t, x in RUNS[name](twin):
        print(",".join(repr(float(v)) for v in [t, *x]))
