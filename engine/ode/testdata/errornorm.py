#!/usr/bin/env python3
"""Prints scipy's error norm of one step of the two-body problem, for
TestErrorNorm.

    python3 errornorm.py

Made with scipy 1.10.1: RK45 and DOP853, whose norms are those of Dormand and
Prince's pair and of Hairer, Norsett and Wanner's code.
"""
import numpy as np
from scipy.integrate import DOP853, RK45
from scipy.integrate._ivp.rk import rk_step


def slope(t, y):
    r = np.hypot(y[0], y[1]) ** 3
    return np.array([y[2], y[3], -y[0] / r, -y[1] / r])


e = 0.3
y = np.array([1 - e, 0, 0, np.sqrt((1 + e) / (1 - e))])
for method in RK45, DOP853:
    for h in 0.1, 0.3:
        s = method(slope, 0, y, 10, rtol=1e-6, atol=1e-6, first_step=h)
        end, _ = rk_step(slope, 0, y, s.f, h, s.A, s.B, s.C, s.K)
        scale = 1e-6 * (1 + np.maximum(abs(y), abs(end)))
        print(method.__name__, h, repr(s._estimate_error_norm(s.K, h, scale)))
