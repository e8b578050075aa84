"""Fit boards to measurements with scipy.optimize.least_squares, on a model of the board written anew.

Run beside cases.json with python3 and scipy; writes answers.json. README.md says what is compared and how to rerun. Written from the
equations in the package comments of core/; nothing of the planner's code is used. Scalars throughout; currents are peak phase quantities.
"""
import json
import math
import multiprocessing
import os
import sys

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq, least_squares, minimize_scalar

HERE = os.path.dirname(os.path.abspath(__file__))
sys.path.insert(0, os.path.join(HERE, "..", "solver"))
from solve import ALPHA, G, SQ3, Pack  # noqa: E402  the pack of the other comparison

HUBER, TUKEY = 1.345, 4.685


class Board:
    def __init__(self, case, theta):
        t = dict(zip([k["label"] for k in case["knobs"]], theta))
        f = {k: math.exp(v) for k, v in t.items()}

        def by(label, value):
            return value * f.get(label, 1.0)
        m, self.d, r = case["motor"], case["drive"], case["road"]
        self.p = m["p"]
        self.lam = 60 / (2 * math.pi * SQ3 * self.p * by("Motor Kv", m["kv"]))
        self.ld, self.lq = by("Inductance, d axis", m["ld"]), m["lq"]
        self.r20 = by("Motor resistance", m["r20"])
        self.r = self.r20 * (1 + ALPHA * (m["celsius"] - 20))
        self.kh, self.ke = by("Iron drag, constant", m["kh"]), by("Iron drag, with speed", m["ke"])
        # Below this the saturation form does not hold.
        self.isat = max(m["isat"], max(self.lam, self.ld * self.d["fw"] - self.lam) / self.lq)
        pack = dict(case["pack"], ocv=case["ocv"], shape=case["shape"])
        pack["cell_ohm"] = by("Cell resistance", pack["cell_ohm"])
        self.pack = Pack(pack)
        self.coulombs = by("Usable capacity", pack["ah"]) * 3600
        self.board = by("Board mass", r["board"])
        self.mass = by("Rider", r["rider"]) + self.board
        self.cda, self.rho, self.wind = by("Drag area", r["cda"]), r["rho"], r["wind"]
        x = case["tire"]
        self.r0 = by("Tire radius", x["radius"])
        load = self.mass * G
        stiff = x["carcass"] + math.pi * x["p"] * math.sqrt(2 * self.r0 * x["width"])
        self.squat = load / stiff
        self.rolling = self.r0 - self.squat / 3
        self.growth = self.r0 * x["growth"]
        self.base = load * by("Rolling coefficient", x["c0"]) * x["surface"] * (x["p"] / x["p0"]) ** x["alpha"] * (load / x["z0"]) ** x["beta"]
        self.tire = x
        # The boxes stand off the tire, so the center of mass moves a little with its radius.
        self.forward = r["forward"] + r["slide"] * (self.r0 - x["radius"]) + t.get("Center of mass", 0.0)
        self.nose, self.tail = r["nose"], r["tail"]

    # ---- road
    def radius(self, v):
        return self.rolling + self.growth * v * v

    def load(self, v, grade):
        slope = math.atan(grade)
        air = v + self.wind
        force = self.base * (1 + self.tire["a"] * v + self.tire["b"] * v * v) * math.cos(slope) + self.mass * G * math.sin(slope)
        return (force + self.rho / 2 * self.cda * air * abs(air)) * self.radius(v)

    # ---- drive
    def drag(self, w):
        return self.p * (self.kh + self.ke * self.p * w)

    def torque(self, i_d, i_q):
        s = 1 / math.sqrt(1 + (i_q / self.isat) ** 2)
        return 1.5 * self.p * s * ((self.lam + self.ld * i_d) * i_q - self.lq * i_q * i_d)

    def point(self, e, r, w, shaft, i_d):
        """Duty and bus voltage, current of a shaft torque at one i_d, by bracketing."""
        need = shaft + self.drag(w)
        i_q = brentq(lambda i: self.torque(i_d, i) - need, -3000, 3000, xtol=1e-13, rtol=1e-14)
        s = 1 / math.sqrt(1 + (i_q / self.isat) ** 2)
        wave = self.p * w
        v_d = self.r * i_d - wave * s * self.lq * i_q
        v_q = self.r * i_q + wave * s * (self.lam + self.ld * i_d)
        i = math.hypot(i_d, i_q)

        def power(v):
            return 1.5 * (v_d * i_d + v_q * i_q) + 1.5 * self.d["ron"] * i * i + self.d["ksw"] * v * i + self.d["p0"]
        v = e if r == 0 else brentq(lambda v: v * (e - v) / r - power(v), e / 2, 2 * e, xtol=1e-13, rtol=1e-14)
        return math.hypot(v_d, v_q) * SQ3 / v, power(v) / v

    def ruled(self, e, r, w, shaft):
        """The point of the two-number rule. I_fw of these cases stops before the flux is gone, so duty falls with it and one root is all."""
        fw, start, top = self.d["fw"], self.d["fwduty"], self.d["duty"]

        def off(i_d):
            return i_d + fw * min(1.0, max(0.0, (self.point(e, r, w, shaft, i_d)[0] - start) / (top - start)))
        i_d = 0.0 if fw == 0 or off(0.0) <= 0 else brentq(off, -fw, 0.0, xtol=1e-13, rtol=1e-14)
        return self.point(e, r, w, shaft, i_d)

    def spin(self, e, r, weakened):
        if weakened:
            def least(w):
                return min(self.point(e, r, w, 0.0, -self.d["fw"])[0], minimize_scalar(
                    lambda i: self.point(e, r, w, 0.0, i)[0], bounds=(-self.d["fw"], 0), method="bounded", options={"xatol": 1e-10}).fun)
        else:
            def least(w):
                return self.point(e, r, w, 0.0, 0.0)[0]
        ideal = self.d["duty"] * e / (SQ3 * self.p * self.lam)
        return brentq(lambda w: least(w) - self.d["duty"], 0.05 * ideal, 3 * ideal, xtol=1e-11, rtol=1e-13)

    # ---- measurements
    def source(self, at):
        if at["BusV"]:
            return at["BusV"], 0.0
        return self.pack.at(at["Charge"])

    def predict(self, m):
        kind, at = m["kind"], m["at"]
        if kind == "rollout":
            return 2 * math.pi * self.rolling
        if kind == "board-mass":
            return self.board
        if kind in ("nose-mass", "tail-mass"):
            arm = self.tail + self.forward if kind == "nose-mass" else self.nose - self.forward
            return self.board * arm / (self.nose + self.tail)
        if kind == "leads-ohm":
            return 2 * self.r20 * (1 + ALPHA * (at["Celsius"] - 20))
        if kind == "capacity":
            return self.coulombs * (at["Charge"] - at["EndCharge"])
        e, r = self.source(at)
        if kind == "pack-resistance":
            return r
        if kind == "loaded-volts":
            return e - r * at["Amps"]
        if kind.startswith("free-spin"):
            w = self.spin(e, r, at["Weakened"])
            if kind == "free-spin-turns":
                return w
            if kind == "free-spin-amps":
                return self.point(e, r, w, 0.0, 0.0)[1]
            return brentq(lambda v: v - w * self.radius(v), 0, 100, xtol=1e-12)
        v, grade = at["Speed"], at["Grade"]
        w, shaft = v / self.radius(v), self.load(v, grade)
        if kind == "duty":
            return self.ruled(e, r, w, shaft)[0]
        if kind == "battery-amps":
            return self.ruled(e, r, w, shaft)[1]
        # charge z, coulombs and joules over the seconds of the ride

        def rate(_, y):
            e, r = self.pack.at(y[0])
            amps = self.ruled(e, r, w, shaft)[1]
            return [-amps / self.coulombs, amps, amps * (e - r * amps)]
        got = solve_ivp(rate, (0, at["Meters"] / v), [at["Charge"], 0, 0], rtol=1e-6, atol=1e-9)
        return got.y[2 if kind == "energy" else 1, -1]


def weight(u, loss):
    """ψ(u)/u, its slope, and ρ."""
    if loss == "square":
        return np.ones_like(u), np.zeros_like(u), u * u / 2
    if loss == "huber":
        in_ = u <= HUBER
        safe = np.where(in_, 1.0, u)
        return np.where(in_, 1.0, HUBER / safe), np.where(in_, 0.0, -HUBER / safe ** 2), np.where(in_, u * u / 2, HUBER * u - HUBER ** 2 / 2)
    x = u / TUKEY
    left = np.maximum(0, 1 - x * x)
    return left ** 2, -4 * x * left / TUKEY, TUKEY ** 2 / 6 * (1 - left ** 3)


def solve(case):
    tau = np.array([k["tau"] for k in case["knobs"]])
    bounds = ([k["low"] for k in case["knobs"]], [k["high"] for k in case["knobs"]])
    counts = np.array(case["counts"])
    n = len(counts)
    kinds = [m["kind"] for m in case["measured"]]

    def data(theta):
        b = Board(case, theta)
        return np.array([(m["value"] - b.predict(m)) / m["sigma"] for m in case["measured"]])

    def fit(loss, scale, start, counts=counts):
        def rho(z):
            """scipy's loss of squared residuals: the measurements robust, the priors plain squares."""
            out = np.vstack([z, np.ones_like(z), np.zeros_like(z)])
            root = np.sqrt(np.maximum(z[:n], 1e-30))
            w, slope, cost = weight(root / scale, loss)
            out[0, :n] = 2 * counts * cost
            out[1, :n] = counts * w / scale ** 2
            out[2, :n] = counts * slope / (2 * root * scale ** 3)
            return out
        got = least_squares(lambda x: np.concatenate([data(x), x / tau]), start, jac="3-point", bounds=bounds, method="trf",
                            x_scale=tau, loss=rho, xtol=1e-11, ftol=1e-13, gtol=1e-10, max_nfev=200)
        return got.x
    zero = np.zeros(len(tau))
    huber = fit("huber", 1.0, zero)
    scale = max(1.0, 1.4826 * float(np.median(np.abs(data(huber)))))
    tukey = fit("tukey", scale, huber)
    out = {"start": data(zero), "square": fit("square", 1.0, zero), "huber": huber, "scale": scale, "tukey": tukey}
    # Again without what is left out, till that stays the same.
    kept, now, last = np.ones(n, bool), tukey, scale
    for _ in range(10):
        sizes = np.abs(data(now))
        keep = sizes < TUKEY * last
        if (keep == kept).all():
            break
        kept, last = keep, max(1.0, 1.4826 * float(np.median(sizes[keep])))
        of = [sum(k == kind for k, i in zip(kinds, kept) if i) for kind in kinds]
        now = fit("tukey", last, now, np.array([1 / (1 + 0.1 * (m - 1)) if i else 0.0 for m, i in zip(of, kept)]))
    out.update(final=now, finalscale=last, left=[i for i in range(n) if not kept[i]])
    return {k: v if k.endswith("scale") or k == "left" else [float("%.9g" % x) for x in v] for k, v in out.items()}


def main():
    with open(os.path.join(HERE, "cases.json")) as f:
        cases = json.load(f)
    with multiprocessing.Pool(2) as pool:
        answers = pool.map(solve, cases, chunksize=1)
    with open(os.path.join(HERE, "answers.json"), "w") as f:
        f.write("[" + ",\n".join(json.dumps(a, separators=(",", ":")) for a in answers) + "]\n")


if __name__ == "__main__":
    main()
