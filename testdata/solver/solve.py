"""Recompute the planner's figures by brute force, from its constants and its written equations alone.

Run beside builds.json with python3 and scipy; writes answers.json. README.md says what is compared and how to rerun.
Currents and flux linkages are peak phase quantities; all units are SI but where a name says otherwise.
"""
import csv
import json
import math
import multiprocessing
import os

import numpy as np
from scipy.integrate import solve_ivp
from scipy.interpolate import PchipInterpolator
from scipy.ndimage import label
from scipy.optimize import brentq, fsolve, minimize, minimize_scalar

HERE = os.path.dirname(os.path.abspath(__file__))
G = 9.80665
ALPHA = 0.00393          # copper, 1/K
GAS = 8.314462618
ACTIVATION = 25e3        # J/mol, the planner's stated assumption for a cell's resistance
CONVECTION = 0.1         # s/m, the planner's stated assumption for the hub's cooling
TIMES = [10, 60, 300, 1200, 3600, 14400]
SQ3 = math.sqrt(3)


def read(name):
    with open(os.path.join(HERE, "..", name), newline="") as f:
        return list(csv.DictReader(line for line in f if not line.startswith("#")))


class Pack:
    """Open-circuit voltage and resistance against state of charge."""

    def __init__(self, p):
        rows = read(p["ocv"])
        u = np.array([float(r["ocv_V"]) for r in rows])
        # The table is stretched so that it meets the cell's own full and empty voltages.
        u = p["cell_empty_v"] + (u - u[0]) * (p["cell_full_v"] - p["cell_empty_v"]) / (u[-1] - u[0])
        self.u = PchipInterpolator([float(r["soc"]) for r in rows], u)
        shape = [(float(r["soc"]), float(r["shape"])) for r in read("resistance_shape.csv") if r["cell"] == p["shape"]]
        z = [0.0] + [x for x, _ in shape] + [1.0]        # held constant outside of what was measured
        y = [shape[0][1]] + [s for _, s in shape] + [shape[-1][1]]
        self.shape = PchipInterpolator(z, y)
        self.p = p
        self.hot = math.exp(ACTIVATION / GAS * (1 / (p["celsius"] + 273.15) - 1 / 298.15))

    def at(self, z):
        p = self.p
        cell = p["cell_ohm"] * float(self.shape(z)) * self.hot
        return p["series"] * float(self.u(z)), p["series"] * cell / p["parallel"] + p["path_ohm"]


class Drive:
    """Motor, inverter and settings. Everything here works on arrays as well as on numbers."""

    def __init__(self, model, s):
        m, c = model["motor"], model["controller"]
        self.p, self.lam, self.ld, self.lq = m["pole_pairs"], m["flux_wb"], m["ld_h"], m["lq_h"]
        self.isat, self.kh, self.ke = m["saturation_a"], m["hysteresis_k"], m["eddy_k"]
        self.r = m["resistance_ohm"] * (1 + ALPHA * (m["winding_c"] - 20))
        self.ron, self.ksw, self.p0 = c["on_resistance_ohm"], c["switching_k"], c["standby_w"]
        left = (s["limit_c"] - m["winding_c"]) / (s["limit_c"] - s["derate_c"])
        self.phase = s["phase"] * min(1.0, max(0.0, left))
        self.batt = min(s["batt"], s.get("cells_a", math.inf))
        self.regen, self.duty, self.vmax, self.vcut = s["regen"], s["duty"], s["vmax"], s["vcut"]
        self.fw = min(s["fw"], self.phase)                      # no more than the phases may carry in all
        self.fwduty = min(s["fwduty"], s["duty"] - 0.01)        # weakening begins below the highest duty

    def flux(self, i_d, i_q):
        s = 1 / np.sqrt(1 + (i_q / self.isat) ** 2)
        return s * (self.lam + self.ld * i_d), s * self.lq * i_q

    def torque(self, i_d, i_q):
        a, b = self.flux(i_d, i_q)
        return 1.5 * self.p * (a * i_q - b * i_d)

    def drag(self, w):
        return self.p * (self.kh + self.ke * self.p * w)

    def volts(self, w, i_d, i_q):
        a, b = self.flux(i_d, i_q)
        return self.r * i_d - self.p * w * b, self.r * i_q + self.p * w * a

    def power(self, w, i_d, i_q, bus):
        v_d, v_q = self.volts(w, i_d, i_q)
        i = np.hypot(i_d, i_q)
        return 1.5 * (v_d * i_d + v_q * i_q) + 1.5 * self.ron * i ** 2 + self.ksw * bus * i + self.p0

    def bus(self, e, r, w, i_d, i_q):
        """Bus voltage where the pack's power V(E-V)/R meets the power asked for: Newton from above; NaN where they never meet."""
        fixed = self.power(w, i_d, i_q, 0.0)
        slope = self.ksw * np.hypot(i_d, i_q)
        v = e + 0 * fixed
        v = np.maximum(v, (e + np.sqrt(e * e + 4 * r * np.maximum(0, -fixed))) / 2)   # start at or above the root
        with np.errstate(all="ignore"):
            for _ in range(40):
                step = (v * (e - v) / r - fixed - slope * v) / ((e - 2 * v) / r - slope)
                v = v - step
                if np.nanmax(np.abs(step)) < 1e-12 * e:
                    break
            off = np.abs(v * (e - v) / r - fixed - slope * v) > 1e-6 * (1 + np.abs(fixed))
            return np.where(off | ~(v > (e - r * slope) / 2 * (1 - 1e-9)), np.nan, v)

    def duty_of(self, w, i_d, i_q, bus):
        return np.hypot(*self.volts(w, i_d, i_q)) * SQ3 / bus


# ---- 1. the largest torque -------------------------------------------------------------------------------------------------

def slacks(d, e, r, w, sign, i_d, i_q):
    """What is left of every limit, each as a fraction; all >= 0 where a point is allowed."""
    v = d.bus(e, r, w, i_d, i_q)
    amps = (e - v) / r
    out = {
        "phase": 1 - np.hypot(i_d, i_q) / max(d.phase, 1e-9),
        "duty": d.duty - d.duty_of(w, i_d, i_q, v),
    }
    # Near standstill braking draws power too, so these hold on both sides.
    out["battery"] = (d.batt - amps) / max(d.batt, 1)
    # A pack that at rest already stands outside of a voltage limit may still brake, as long as that takes it no further out.
    out["cutoff"] = (v - (d.vcut if sign > 0 else min(d.vcut, e))) / e
    out["power"] = (v - e / 2) / e
    if sign < 0:
        out["regen"] = (d.regen + amps) / max(d.regen, 1)
        out["bus"] = (max(d.vmax, e) - v) / e
    return {k: np.where(np.isnan(x), -9.0, x) for k, x in out.items()}


def largest(d, e, r, w, sign):
    """Largest driving (+1) or braking (-1) shaft torque over -I_fw <= i_d <= 0 and i_q >= 0 (driving) or <= 0 (braking)."""
    low = -d.fw
    top = d.phase
    drag = d.drag(w)
    if top <= 0:
        return None

    def worst(i_d, i_q):
        s = slacks(d, e, r, w, sign, i_d, i_q)
        return np.minimum.reduce(list(s.values()))

    grid_d = np.linspace(low, 0, 81) if low < 0 else np.zeros(1)
    grid_u = np.linspace(0, top, 501)
    x, u = np.meshgrid(grid_d, grid_u, indexing="ij")
    left = worst(x, sign * u)
    ok = left >= 0
    gain = sign * d.torque(x, sign * u)
    # One region, and on every line of constant i_d one stretch that begins at no current: then nothing hides behind a gap.
    fine = worst(*np.meshgrid(grid_d[::8], sign * np.linspace(0, top, 4001), indexing="ij")) >= 0
    joined = bool(label(ok)[1] <= 1 and np.all(fine[:, 1:] <= fine[:, :-1]))
    starts = []
    if ok.any():
        for part in np.array_split(np.arange(len(grid_d)), min(4, len(grid_d))):
            g = np.where(ok[part], gain[part], -np.inf)
            if np.isfinite(g.max()):
                a, b = np.unravel_index(g.argmax(), g.shape)
                starts.append((x[part][a, b], u[part][a, b]))
    else:
        a, b = np.unravel_index(left.argmax(), left.shape)
        starts.append((x[a, b], u[a, b]))
        starts.append((x[:, 0][left[:, 0].argmax()], 0.0))
    scale_d, scale_t = max(-low, 1.0), 1.5 * d.p * d.lam * top
    best = None
    for x0, u0 in starts:
        got = [(x0, u0)]

        def at(y):
            return y[0] * scale_d, sign * y[1] * top

        def limits(y):
            return np.array([float(s) for s in slacks(d, e, r, w, sign, *at(y)).values()])
        box = [(low / scale_d, 0.0), (0.0, 1.0)]
        for _ in range(3):        # restarted where it stopped: the quasi-Newton memory starts afresh
            z0 = [got[-1][0] / scale_d, got[-1][1] / top]
            res = minimize(lambda y: -sign * d.torque(*at(y)) / scale_t, z0, bounds=box, method="SLSQP",
                           constraints={"type": "ineq", "fun": limits}, options={"ftol": 1e-13, "maxiter": 200})
            y = np.clip(res.x, [box[0][0], 0], [0, 1])
            got.append((y[0] * scale_d, y[1] * top))
        for i_d, i_u in got:
            t = sign * float(d.torque(i_d, sign * i_u))
            if float(worst(i_d, sign * i_u)) >= -1e-7 and (best is None or t > best[0]):
                best = (t, i_d, i_u)
    if best is None:
        return None
    t, i_d, i_u = best
    # Once more by a grid that closes in on the best so far: it needs no gradient and cannot be fooled by a corner.
    half_d, half_u = -low / 80, top / 500
    for _ in range(14):
        gd = np.clip(np.linspace(i_d - half_d, i_d + half_d, 13 if low < 0 else 1), low, 0) if low < 0 else np.zeros(1)
        gu = np.clip(np.linspace(i_u - half_u, i_u + half_u, 41), 0, top)
        x, u = np.meshgrid(gd, gu, indexing="ij")
        g = np.where(worst(x, sign * u) >= -1e-9, sign * d.torque(x, sign * u), -np.inf)
        a, b = np.unravel_index(g.argmax(), g.shape)
        if g[a, b] > t:
            t, i_d, i_u = float(g[a, b]), float(x[a, b]), float(u[a, b])
        half_d, half_u = half_d / 2, half_u / 2.5
    s = slacks(d, e, r, w, sign, i_d, sign * i_u)
    bound = sorted(k for k, v in s.items() if v < 2e-5)
    if low < 0 and i_d < low * (1 - 1e-5):
        bound.append("weakening")
    out = {"t": sign * t - drag, "d": i_d, "q": sign * i_u, "by": bound}
    return out if sign > 0 else out | {"joined": joined}


def thrifty(d, e, r, w):
    """Braking torque where regeneration limit or bus voltage first binds, with the least current for every torque; None if another limit
    binds before, or none does."""
    low = -d.fw
    grid = np.linspace(low, 0, 401) if low < 0 else np.zeros(1)

    def pair(need):
        """The least current, by a scan over i_d that closes in."""
        x, step = grid, -low / 400
        for _ in range(4 if low < 0 else 1):
            i_q = current_for(d, -need, x)
            k = int(np.nanargmin(np.hypot(x, i_q)))
            best = x[k], float(i_q[k])
            x, step = np.clip(np.linspace(x[k] - step, x[k] + step, 21), low, 0), step / 10
        return best

    def left(need):
        return {k: float(x) for k, x in slacks(d, e, r, w, -1, *pair(need)).items()}

    def back(need):
        s = left(need)
        return min(s["regen"], s["bus"])
    top = 0.98 * float(d.torque(0.0, d.phase))
    last = 0.0
    for need in np.linspace(0, top, 40)[1:]:
        s = left(need)
        if min(s["regen"], s["bus"]) < 0:
            need = brentq(back, last, need, xtol=1e-9)
            s = left(need)
            return -need - d.drag(w) if min(s["phase"], s["duty"], s["battery"], s["cutoff"], s["power"]) >= 0 else None
        if s["phase"] < 0:
            return None
        last = need
    return None


# ---- 2. one load with the two-number rule ----------------------------------------------------------------------------------

def current_for(d, need, i_d):
    """q current that makes an electromagnetic torque; NaN where saturation forbids it. Torque rises in i_q, so bisect, then Newton."""
    i_d = np.asarray(i_d, float)
    hi = 1e5 * d.isat
    a, b = np.full(i_d.shape, -hi), np.full(i_d.shape, hi)
    bad = (d.torque(i_d, a) > need) | (d.torque(i_d, b) < need)
    for _ in range(72):
        mid = (a + b) / 2
        up = d.torque(i_d, mid) < need
        a, b = np.where(up, mid, a), np.where(up, b, mid)
    return np.where(bad, np.nan, (a + b) / 2)


def carried(d, e, r, w, torque, i_d):
    i_q = current_for(d, torque + d.drag(w), i_d)
    bus = d.bus(e, r, w, i_d, i_q)
    return i_q, bus, d.duty_of(w, i_d, i_q, bus)


def share(d, duty):
    """Share of I_fw that the rule asks for; a load that cannot be carried at all asks for everything."""
    return np.where(np.isnan(duty), 1.0, np.clip((duty - d.fwduty) / (d.duty - d.fwduty), 0, 1))


def operate(d, e, r, w, torque, scan=241):
    """Every operating point of the rule as a list of (i_d, i_q, bus, duty), the one nearest to i_d = 0 last, and whether the rule alone
    holds duty under its highest."""
    def off(i_d):
        return i_d + d.fw * share(d, carried(d, e, r, w, torque, i_d)[2])
    found = []
    if d.fw == 0:
        found = [0.0]
    else:
        x = np.linspace(-d.fw, 0, scan)
        f = off(x)
        for k in range(scan - 1):
            if f[k] == 0:
                found.append(x[k])
            elif f[k] * f[k + 1] < 0:
                found.append(brentq(lambda y: float(off(y)), x[k], x[k + 1], xtol=1e-12, rtol=1e-14))
        if f[-1] == 0:
            found.append(0.0)
    out = []
    for i_d in found:
        i_q, bus, duty = (float(v) for v in carried(d, e, r, w, torque, i_d))
        if math.isnan(duty):
            continue
        if 0 < -i_d < d.fw:        # all three equations at once, from there
            def three(y):
                i_d, i_q, bus = y[0] * d.fw, y[1] * d.isat, y[2] * e
                return [y[0] + (d.duty_of(w, i_d, i_q, bus) - d.fwduty) / (d.duty - d.fwduty),
                        (d.torque(i_d, i_q) - d.drag(w) - torque) / (1.5 * d.p * d.lam * d.isat),
                        (bus * (e - bus) / r - d.power(w, i_d, i_q, bus)) * r / e ** 2]
            y, _, good, _ = fsolve(three, [i_d / d.fw, i_q / d.isat, bus / e], xtol=1e-13, full_output=True)
            if good == 1 and abs(y[0] * d.fw - i_d) < 1e-3 * d.fw:
                i_d, i_q, bus = y[0] * d.fw, y[1] * d.isat, y[2] * e
                duty = float(d.duty_of(w, i_d, i_q, bus))
        out.append((i_d, i_q, bus, duty))
    held = [p for p in out if p[3] <= d.duty * (1 + 1e-9)]
    if held or d.fw == 0:
        return held or out, True
    # The rule's point passes the highest duty. Any i_d down to -I_fw may be used then: the smallest that brings duty down to its highest,
    # else the one of least duty.
    x = np.linspace(-d.fw, 0, 4001)
    duty = carried(d, e, r, w, torque, x)[2]
    if np.isnan(duty).all():
        return [], False

    def duty_at(i_d):
        v = float(carried(d, e, r, w, torque, i_d)[2])
        return 9e9 if math.isnan(v) else v
    if np.nanmin(duty) < d.duty and not duty[-1] <= d.duty:
        k = np.where(duty <= d.duty)[0].max()
        i_d = brentq(lambda y: min(duty_at(y), 9) - d.duty, x[k], x[k + 1], xtol=1e-11)
    else:
        k = int(np.nanargmin(duty))
        a, b = x[max(0, k - 1)], x[min(len(x) - 1, k + 1)]
        i_d = minimize_scalar(duty_at, bounds=(a, b), method="bounded", options={"xatol": 1e-10}).x
        i_d = min((i_d, x[k]), key=duty_at)
    return [(i_d, *(float(v) for v in carried(d, e, r, w, torque, i_d)))], False


def point(d, e, r, w, torque):
    out, ruled = operate(d, e, r, w, torque)
    return {"rule": ruled, "at": [
        {"d": i_d, "q": i_q, "v": bus, "a": (e - bus) / r, "duty": duty, "copper": 1.5 * d.r * (i_d ** 2 + i_q ** 2)}
        for i_d, i_q, bus, duty in out]}


# ---- 3. the lifted wheel ---------------------------------------------------------------------------------------------------

def spins(d, e, r):
    """Speeds where duty meets its highest against iron drag alone: without weakening, at -I_fw, and at the best i_d allowed."""
    ideal = d.duty * e / (SQ3 * d.p * d.lam)
    grid = np.linspace(-d.fw, 0, 2001)

    def plain(w):
        v = float(carried(d, e, r, w, 0.0, 0.0)[2])
        return 9.0 if math.isnan(v) else v - d.duty

    def full(w):
        v = float(carried(d, e, r, w, 0.0, -d.fw)[2])
        return 9.0 if math.isnan(v) else v - d.duty

    def best(w):
        v = carried(d, e, r, w, 0.0, grid)[2]
        if np.isnan(v).all():
            return 9.0
        k = int(np.nanargmin(v))
        if 0 < k < len(grid) - 1:        # a parabola through the lowest three: the grid alone would be a little high
            f = minimize_scalar(lambda y: float(carried(d, e, r, w, 0.0, y)[2]), bounds=(grid[k - 1], grid[k + 1]), method="bounded",
                                options={"xatol": 1e-9})
            return min(float(f.fun), v[k]) - d.duty
        return float(v[k]) - d.duty

    def first(f):
        """The lowest speed where f turns positive."""
        last = 0.0
        if f(0.0) > 0:
            return 0.0
        for w in ideal * np.concatenate([np.linspace(0.05, 3, 60), np.geomspace(3.2, 60, 20)]):
            if f(w) > 0:
                return brentq(f, last, w, xtol=1e-10, rtol=1e-13)
            last = w
        return None
    return [first(plain), first(full) if d.fw else None, first(best) if d.fw else first(plain)]


# ---- 4. the motor warming up -----------------------------------------------------------------------------------------------

def warm(h):
    r_ha = h["hub_to_air"] / (1 + CONVECTION * h["speed"])

    def slope(_, y):
        copper = h["copper_w"] * (1 + ALPHA * (y[0] - 20)) / (1 + ALPHA * (h["winding_c"] - 20))
        across = (y[0] - y[1]) / h["winding_to_hub"]
        return [(copper - across) / h["winding_j"], (h["iron_w"] + across - (y[1] - h["ambient_c"]) / r_ha) / h["hub_j"]]
    got = solve_ivp(slope, (0, TIMES[-1]), [h["from_winding"], h["from_hub"]], method="DOP853", rtol=1e-9, atol=1e-9, t_eval=TIMES)
    # The system is linear: it settles if a small push dies out, and then where the slope is nothing.
    zero, one, two = (np.array(slope(0, y)) for y in ([0, 0], [1, 0], [0, 1]))
    a = np.column_stack([one - zero, two - zero])
    settled = None
    if np.linalg.eigvals(a).real.max() < 0:
        settled = list(fsolve(lambda y: slope(0, y), [100.0, 60.0], xtol=1e-13))
    return {"t": [list(v) for v in got.y.T], "settled": settled}


# ---- 5. a whole discharge --------------------------------------------------------------------------------------------------

class Road:
    def __init__(self, model, ride):
        t, self.road, self.ride = model["tire"], model["road"], ride
        # r_e = r0 - deflection/3 and loaded = r0 - deflection give r0.
        r0 = (3 * t["rolling_radius_m"] - t["loaded_radius_m"]) / 2
        self.radius = lambda v: t["rolling_radius_m"] + r0 * t["growth_k"] * v * v
        n = self.road["rolling_force_n"]
        self.rolling = np.polynomial.Polynomial.fit([x["speed_kmh"] / 3.6 for x in n], [x["n"] for x in n], 2)

    def load(self, v, grade):
        """Wheel speed and torque of a steady ride."""
        slope = math.atan(grade)
        air = v + self.ride["headwind"]
        force = float(self.rolling(v)) * math.cos(slope) + self.road["mass_kg"] * G * math.sin(slope)
        force += 0.5 * self.road["air_density"] * self.road["cda_m2"] * air * abs(air)
        return v / self.radius(v), force * self.radius(v)


def reserve(d, e, r, w, load):
    best = largest(d, e, r, w, 1)
    return (-d.drag(w) if best is None else best["t"]) - load


def discharge(d, road, pack, ride, p):
    w, load = road.load(ride["cruise"], ride["grade"])
    want = ride["shift"] * ride["rider_kg"] * G

    def first_point(e, r):
        out, _ = operate(d, e, r, w, load, scan=61)
        return out[-1] if out else None        # nearest to i_d = 0

    def left(z):
        """Least of what must not run out, and which it is."""
        e, r = pack.at(z)
        spare = reserve(d, e, r, w, load)
        at = first_point(e, r)
        duty = -9.0 if at is None else ride["duty"] - at[3]
        return {"torque": spare, "reserve": spare - want, "duty": duty}

    start, floor = p["start"], p["floor"]
    end, by = floor, "floor"
    if min(left(floor).values()) < 0:
        if min(left(start).values()) < 0:
            return {"end": start, "by": sorted(k for k, v in left(start).items() if v < 0), "km": 0, "wh": 0, "load": load}
        end = brentq(lambda z: min(left(z).values()), floor, start, xtol=1e-5)
        by = min(left(end - 2e-5).items(), key=lambda x: x[1])[0]

    def slope(z, y):
        e, r = pack.at(z)
        bus = first_point(e, r)[2]
        amps = (e - bus) / r
        seconds = -p["ah"] * 3600 / amps        # per unit of charge
        return [ride["cruise"] * seconds / 1000, amps * bus * seconds / 3600]
    got = solve_ivp(slope, (start, end), [0, 0], rtol=1e-7, atol=1e-9, max_step=0.05)
    return {"end": end, "by": by, "km": got.y[0, -1], "wh": got.y[1, -1], "load": load}


# ---- all of it -------------------------------------------------------------------------------------------------------------

def short(x):
    if isinstance(x, dict):
        return {k: short(v) for k, v in x.items()}
    if isinstance(x, (list, tuple)):
        return [short(v) for v in x]
    if isinstance(x, (float, np.floating)):
        return None if not math.isfinite(x) else float("%.9g" % x)
    return x


def solve(case):
    d, pack = Drive(case["model"], case["settings"]), Pack(case["pack"])
    sources = [pack.at(z) for z in (1, 0.5, case["pack"]["floor"])]
    stated = case["model"]["pack"]
    given = [(stated["open_circuit_v"][k], stated["resistance_ohm"][k]) for k in ("full", "half", "low")]
    out = {"source": sources, "drive": [], "brake": [], "points": [], "spin": []}
    for (e, r), speeds in zip(given, case["omega"]):
        out["drive"].append([largest(d, e, r, w, 1) for w in speeds])
        out["brake"].append([largest(d, e, r, w, -1) for w in speeds])
        for w, b in zip(speeds, out["brake"][-1]):
            if b and d.fw > 0:
                b["thrifty"] = thrifty(d, e, r, w)
        out["spin"].append(spins(d, e, r))
    for q in case["points"]:
        out["points"].append(point(d, *given[q["charge"]], q["omega"], q["torque"]))
    out["heat"] = warm(case["heat"])
    out["ride"] = discharge(d, Road(case["model"], case["ride"]), pack, case["ride"], case["pack"])
    return short(out)


def main():
    with open(os.path.join(HERE, "builds.json")) as f:
        cases = json.load(f)
    with multiprocessing.Pool(2) as pool:
        answers = pool.map(solve, cases, chunksize=1)
    with open(os.path.join(HERE, "answers.json"), "w") as f:
        f.write("[" + ",".join(json.dumps(a, separators=(",", ":")) + "\n" for a in answers) + "]\n")


if __name__ == "__main__":
    main()
