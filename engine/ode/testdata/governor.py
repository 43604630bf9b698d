#!/usr/bin/env python3
"""Writes governor.csv: the motor and governor of governor_test.go, solved by
scipy. It is written from the equations, shares no code with this package, and
finds the contact's events with scipy's own root search.

    python3 governor.py > governor.csv

Made with scipy 1.10.1: solve_ivp, DOP853, rtol 1e-13.
"""
import sys

import numpy as np
from scipy.integrate import solve_ivp

V, RA, LA = 48.0, 0.5, 4e-3           # supply V, armature ohm, H
RF, RG, LF = 60.0, 43.0, 20.0         # field ohm, resistor ohm, field H
J, B, TC = 0.08, 5e-4, 0.15           # kg m2, N m s, N m
M, R0, PLANE = 0.020, 12e-3, 0.8e-3   # weight kg, radius m, contact plane m
W0 = 2 * np.pi * 60                   # leaf's own frequency, rad/s
WC = 2 * np.pi * 20.3                 # speed at which it meets the contact
ZETA, DASHPOT, G = 0.02, 0.05, 9.81

# Without gravity the weight stands at the contact plane at speed WC:
# WC^2 (R0+PLANE) = W0^2 PLANE + FORCE/M.
PRELOAD = WC**2 * (R0 + PLANE) - W0**2 * PLANE


def slope(t, y, closed):
    ia, i_f, w, th, x, v = y
    k = 0.469 * i_f / (0.15 + i_f)
    acceleration = w * w * (R0 + x) - W0**2 * x - PRELOAD - 2 * ZETA * W0 * v + G * np.cos(th)
    if closed:
        acceleration -= DASHPOT / M * v
    return [
        (V - RA * ia - k * w) / LA,
        (V - (RF if closed else RF + RG) * i_f) / LF,
        (k * ia - TC - B * w) / J,
        w,
        v,
        acceleration,
    ]


def opened(t, y, closed):
    return y[4] - PLANE


opened.terminal = True


def main():
    out = sys.stdout
    out.write("# invented machine; made by governor.py\n")
    out.write("time,armature,field,speed,angle,travel,velocity,events\n")
    t, closed, events = 0.0, False, 0
    y = np.array([5, 0.5, 2 * np.pi * 20, 0, 0.7e-3, 0])
    atol = 1e-13 * np.array([1, 0.1, 1, 1, 1e-4, 1e-2])
    for second in range(1, 21):
        while t < second:
            opened.direction = -1 if closed else 1
            r = solve_ivp(slope, (t, second), y, method="DOP853", rtol=1e-13, atol=atol,
                          max_step=2.5e-4, events=opened, args=(closed,))
            assert r.success, r.message
            if r.status == 1:
                assert r.t[-1] > t + 1e-7, "the root search fell back on the last event"
                closed, events = not closed, events + 1
            t, y = r.t[-1], r.y[:, -1].copy()
            if r.status == 1:
                y[4] = PLANE
        out.write(f"{second}," + ",".join(f"{v:.15g}" for v in y) + f",{events}\n")


main()
