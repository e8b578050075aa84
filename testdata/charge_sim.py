#!/usr/bin/env python3
"""Charges by simulation in time, Python 3 with SciPy: writes charge_sim.csv beside itself.

Its own code from the written equations: a charger holds the lesser of its constant current I and the current (V - E)/R that its voltage
V drives, through S groups of P cells and S - 1 links. State of charge, energy into the terminals and heat are integrated over time; an
event ends each phase. Voltages and resistance shapes come from the tables here by SciPy's monotone cubic; the shape of iron phosphate
has the three decimals that the planner states. Inputs are named by their link keys, in the units of the form.
"""
import csv
import math
import os

import numpy as np
from scipy.integrate import solve_ivp
from scipy.interpolate import PchipInterpolator

HERE = os.path.dirname(os.path.abspath(__file__))
KINDS = {  # table, resistance shape at 10 ... 90 %
    "rich": ("nmc811_graphite_siox_chen2020", [1.3706, 1.1617, 1.1617, 1.1232, 1, 0.9945, 0.9945, 0.9945, 0.9476]),
    "nca": ("nca_graphite_kim2011", [1.3706, 1.1617, 1.1617, 1.1232, 1, 0.9945, 0.9945, 0.9945, 0.9476]),
    "iron": ("lfp_graphite_bpx2022_18650", [5.893, 1.809, 1.315, 1.125, 1, 1, 1, 0.987, 0.910]),
}
CELLS = {"21700-balanced": "rich", "21700-energy": "rich", "18650-energy": "nca", "26650-iron": "iron", "32700-iron": "iron"}
INPUTS = "s p cell cellah cellr cellmax cellmin soh rgrow linkr chga chgv z0 z1 chgtemp taper chgeff".split()
BUILDS = [line.split() for line in """
18 2 21700-balanced 4.5 16   4.2  2.5  100 0   0.25 5   75.6   15 100 20  5  90
18 2 21700-balanced 4.5 16   4.2  2.5  100 0   0.25 1.8 75.6   0  100 25  5  90
20 4 21700-energy   5   27   4.2  2.5  85  60  0.5  20  84     10 90  5   5  88
20 4 21700-energy   5   27   4.2  2.5  100 0   0.25 40  84     20 100 30  2  92
24 3 18650-energy   3.5 38   4.2  2.7  100 0   0.25 6   100.8  5  100 20  10 90
24 3 18650-energy   3.5 45   4.2  2.7  70  120 1    10  100.8  30 85  -5  5  85
16 6 26650-iron     2.6 12   3.65 2    100 0   0.25 10  58.4   10 100 20  5  90
16 6 26650-iron     2.6 12   3.65 2    90  40  0.25 30  58.4   0  80  0   3  90
16 2 32700-iron     6   10   3.65 2    80  200 0.5  24  58.4   0  100 -20 5  90
18 2 21700-balanced 4.5 16   4.2  2.5  100 0   0.25 5   72     15 100 20  5  90
18 2 21700-balanced 4.5 16   4.2  2.5  100 0   0.25 5   79.8   15 100 20  5  90
20 1 21700-energy   5   27   4.1  2.8  95  20  0.25 5   82     85 100 15  1  95
12 8 18650-energy   3.2 60   4.15 2.5  100 50  2    51.2 49.8  0  100 -10 4  90
""".strip().splitlines()]


def table(kind):
    name, shape = KINDS[kind]
    with open(os.path.join(HERE, "ocv_%s.csv" % name), newline="") as f:
        rows = list(csv.DictReader(f))
    volts = PchipInterpolator([float(r["soc"]) for r in rows], [float(r["ocv_V"]) for r in rows])
    return volts, PchipInterpolator(np.linspace(0, 1, 11), [shape[0]] + shape + [shape[-1]])


def simulate(b):
    volts, shape = table(CELLS[b["cell"]])
    v = {k: float(x) for k, x in b.items() if k != "cell"}
    low, high = float(volts(0)), float(volts(1))
    warmth = math.exp(25e3 / 8.314462618 * (1 / (v["chgtemp"] + 273.15) - 1 / 298.15))
    ohm = v["cellr"] / 1e3 * (1 + v["rgrow"] / 100) * warmth
    rated = v["p"] * v["cellah"]
    usable = rated * v["soh"] / 100 * 3600  # A.s
    z1 = v["z1"] / 100

    def source(z):
        cell = v["cellmin"] + (float(volts(z)) - low) * (v["cellmax"] - v["cellmin"]) / (high - low)
        return v["s"] * cell, v["s"] * ohm * float(shape(z)) / v["p"] + (v["s"] - 1) * v["linkr"] / 1e3

    def driven(z):
        e, r = source(min(max(z, 0.0), 1.0))
        return (v["chgv"] - e) / r

    def rates(held):
        def f(_, y):
            z = min(max(y[0], 0.0), 1.0)
            e, r = source(z)
            i = driven(z) if held else v["chga"]
            return [i / usable, (e + i * r) * i / 3600, i * i * r / 3600]
        return f

    def event(g, direction):
        g.terminal, g.direction = True, direction
        return g

    done = event(lambda _, y: y[0] - z1, 1)
    limited = event(lambda _, y: driven(y[0]) - v["chga"], -1)
    freed = event(lambda _, y: driven(y[0]) - v["chga"] * (1 + 1e-12), 1)
    full = event(lambda _, y: driven(y[0]) - min(v["taper"] / 100 * rated, v["chga"]), -1)
    mark = lambda _, y: y[0] - 0.8
    mark.direction = 1

    y, t, phase = [v["z0"] / 100, 0.0, 0.0], 0.0, {False: 0.0, True: 0.0}
    at80 = None
    held = driven(y[0]) < v["chga"]
    for _ in range(10):
        events = [done, mark] + ([full, freed] if held else [limited])
        s = solve_ivp(rates(held), (t, t + 4e6), y, method="DOP853", rtol=1e-11, atol=1e-13, max_step=60,
                      events=events)
        assert s.status == 1
        phase[held] += s.t[-1] - t
        if len(s.t_events[1]):
            at80 = s.t_events[1][0]
        t, y = s.t[-1], list(s.y[:, -1])
        if len(s.t_events[0]) or (held and len(s.t_events[2])):
            break
        held = not held
    else:
        raise AssertionError("no end")
    if at80 is None and abs(z1 - 0.8) < 1e-12 and abs(y[0] - 0.8) < 1e-9:
        at80 = t
    return {"minutes": t / 60, "minutes_cc": phase[False] / 60, "minutes_cv": phase[True] / 60,
            "minutes_to_80": "" if at80 is None else at80 / 60, "end_pct": 100 * y[0], "pack_wh": y[1], "heat_wh": y[2],
            "wall_wh": y[1] / (v["chgeff"] / 100)}


with open(os.path.join(HERE, "charge_sim.csv"), "w", newline="") as f:
    out = None
    for values in BUILDS:
        b = dict(zip(INPUTS, values, strict=True))
        r = {k: x if x == "" else "%.9g" % x for k, x in simulate(b).items()}
        if out is None:
            out = csv.DictWriter(f, INPUTS + list(r), lineterminator="\n")
            out.writeheader()
        out.writerow({**b, **r})
