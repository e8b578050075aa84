#!/usr/bin/env python3
"""Second method for the cell's curves, plain Python 3: writes pchip.csv and resistance_shape.csv beside itself.

pchip.csv: monotone cubic Hermite values of the open-circuit tables between their points, slopes by the general (unequal spacing)
form of Fritsch & Butland 1984 with the three-point end slopes of Moler 2004, section 3.6, evaluated in the Hermite basis.
resistance_shape.csv: non-increasing isotonic regression of the published resistances (minimax formula, no pooling loop), over
the value at 50 % charge.
"""
import csv, os

HERE = os.path.dirname(os.path.abspath(__file__))


def read(name):
    with open(os.path.join(HERE, name), newline="", encoding="utf-8") as f:
        return list(csv.DictReader(f))


def write(name, header, rows):
    with open(os.path.join(HERE, name), "w", newline="", encoding="utf-8") as f:
        w = csv.writer(f, lineterminator="\n")
        w.writerow(header)
        w.writerows(rows)


def end(h0, h1, d0, d1):
    s = ((2 * h0 + h1) * d0 - h0 * d1) / (h0 + h1)
    if s * d0 <= 0:
        return 0.0
    if d0 * d1 <= 0 and abs(s) > 3 * abs(d0):
        return 3 * d0
    return s


def slopes(x, y):
    h = [b - a for a, b in zip(x, x[1:])]
    d = [(b - a) / k for a, b, k in zip(y, y[1:], h)]
    s = [0.0] * len(x)
    for k in range(1, len(x) - 1):
        if d[k - 1] * d[k] > 0:
            w1, w2 = 2 * h[k] + h[k - 1], h[k] + 2 * h[k - 1]
            s[k] = (w1 + w2) / (w1 / d[k - 1] + w2 / d[k])
    s[0] = end(h[0], h[1], d[0], d[1])
    s[-1] = end(h[-1], h[-2], d[-1], d[-2])
    return s


def value(x, y, s, at):
    k = max(i for i in range(len(x) - 1) if x[i] <= at)
    h = x[k + 1] - x[k]
    t = (at - x[k]) / h
    return (y[k] * (1 + 2 * t) * (1 - t) ** 2 + h * s[k] * t * (1 - t) ** 2
            + y[k + 1] * t * t * (3 - 2 * t) + h * s[k + 1] * t * t * (t - 1))


rows = []
for name in ("nmc811_graphite_siox_chen2020", "nca_graphite_kim2011", "lfp_graphite_bpx2022_18650"):
    table = read("ocv_%s.csv" % name)
    x = [float(r["soc"]) for r in table]
    y = [float(r["ocv_V"]) for r in table]
    s = slopes(x, y)
    for at in [0.003 + 0.0277 * i for i in range(36)]:
        rows.append([name, "%.4f" % at, "%.9f" % value(x, y, s, round(at, 4))])
write("pchip.csv", ["table", "soc", "ocv_V"], rows)

rows = []
table = read("cell_effective_dc_resistance_bpx.csv")
for cell in ("NMC", "LFP"):
    points = sorted((float(r["soc_by_charge"]), float(r["R_mohm_from_1C_vs_C/20"])) for r in table if r["cell"] == cell)
    soc, ohm = [p[0] for p in points], [p[1] for p in points]
    n = len(ohm)
    mean = lambda i, j: sum(ohm[i:j + 1]) / (j - i + 1)
    fit = [min(max(mean(i, j) for j in range(k, n)) for i in range(k + 1)) for k in range(n)]
    half = fit[soc.index(0.5)]
    rows += [[cell, "%.1f" % z, "%.4f" % (f / half)] for z, f in zip(soc, fit)]
write("resistance_shape.csv", ["cell", "soc", "shape"], rows)
