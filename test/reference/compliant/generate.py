"""Reference rows for the compliant train: the equations of docs/theory/compliant.md, written anew here, piece by
piece between events by a general-purpose implicit Runge-Kutta method (Radau IIA of order 5, scipy.integrate) at a
relative tolerance of 1e-10. Shares no code with the program.

    python3 test/reference/compliant/generate.py

reads cases.json and writes trajectories.json beside it. Run with scipy 1.17.1, numpy as it came with it.
"""
import json
import pathlib
import sys

import numpy as np
import scipy
from scipy.integrate import solve_ivp

here = pathlib.Path(__file__).parent
data = json.loads((here / "cases.json").read_text())
RTOL, ATOL = 1e-10, 1e-13


class Train:
    def __init__(self, case):
        self.__dict__.update(case)
        self.J = np.array([b[0] for b in self.bodies])
        self.C = np.array([b[1] for b in self.bodies])
        self.B = len(self.bodies)
        self.R = self.resistance + self.supplyResistance
        self.limit = np.inf if self.currentLimit is None else self.currentLimit
        # Mode: sense of each body, flank of each link, sign of torques without play, stop, driver.
        self.s = [0] * self.B
        self.flank = [0 if l["backlash"] > 0 else 1 for l in self.links]
        self.sgn = [1] * len(self.links)
        self.stopSide = 0
        self.driver = "dead"
        self.E = self.dwellTorque
        self.soft = "stiffness" in self.stop

    def lin(self, pair, a):
        return pair[0] + (pair[1] - pair[0]) * a / self.travel

    def tau_on(self, l, y, flank):
        k = self.links[l]
        phi = y[l] / k["ratio"] - y[l + 1]
        dphi = y[self.B + l] / k["ratio"] - y[self.B + l + 1]
        off = 0.5 * k["backlash"] * flank if k["backlash"] > 0 else 0.0
        return phi - off, k["stiffness"] * (phi - off) + k["damping"] * dphi

    def tau(self, l, y):
        return 0.0 if self.flank[l] == 0 else self.tau_on(l, y, self.flank[l])[1]

    def mesh(self, l):
        k = self.links[l]
        sign = self.flank[l] if k["backlash"] > 0 else self.sgn[l]
        return 1 / (k["ratio"] * k["efficiency"]) if self.s[l] * sign >= 0 else k["back"] / k["ratio"]

    def stop_tau(self, y, side):
        b = self.stop["body"]
        beyond = y[b] - self.travel if side > 0 else -y[b]
        return beyond, side * self.stop["stiffness"] * beyond + self.stop["damping"] * y[self.B + b]

    def friction(self, a, w):
        return self.lin(self.friction_, a) + (self.lin(self.excess, a) + self.E) * np.exp(-((w / self.stribeckSpeed) ** 2))

    def can_rest(self, b):
        if b == self.B - 1:
            return True
        k = self.links[b]
        return self.C[b] > 0 or k["start"] < 1 or k["back"] < 1

    def applied(self, b, y):
        if b == 0:
            return self.torqueConstant * y[-1]
        a = self.tau(b - 1, y)
        if self.soft and b == self.stop["body"] and self.stopSide:
            a -= self.stop_tau(y, self.stopSide)[1]
        if b == self.B - 1:
            a -= self.lin(self.fluid, y[b])
        return a

    def holds(self, b, side, y):
        if b == self.B - 1:
            return self.lin(self.friction_, y[b]) + self.lin(self.excess, y[b]) + self.E
        k = self.links[b]
        t = side * self.tau(b, y)
        return self.C[b] + (t / (k["ratio"] * k["start"]) if t > 0 else t * k["back"] / k["ratio"])

    def f(self, t, y):
        B = self.B
        d = np.zeros_like(y)
        for b in range(B):
            d[b] = y[B + b]
            if self.s[b] == 0 and self.can_rest(b):
                continue
            net = self.applied(b, y)
            if b < B - 1:
                net -= self.s[b] * self.C[b] + self.mesh(b) * self.tau(b, y)
            else:
                net -= self.s[b] * self.friction(y[b], y[B + b]) + self.damping * y[B + b]
            if b == 0:
                net -= self.motorDamping * y[B]
            d[B + b] = net / self.J[b]
        if self.driver == "full":
            d[-1] = (self.sense * self.voltage - self.R * y[-1] - self.torqueConstant * y[B]) / self.inductance
        return d

    def events(self):
        """(kind, index, side, function that rises through zero where it happens)."""
        B, out = self.B, []
        for b in range(B):
            if not self.can_rest(b):
                continue
            if self.s[b]:
                out.append(("rest", b, 0, lambda t, y, b=b, s=self.s[b]: -s * y[B + b]))
            else:
                for side in (1, -1):
                    if b == B - 1 and not self.soft and self.at_stop == side:
                        continue
                    out.append(("release", b, side, lambda t, y, b=b, s=side: s * self.applied(b, y) - self.holds(b, s, y)))
        for l, k in enumerate(self.links):
            if k["backlash"] == 0:
                if self.can_rest(l):
                    out.append(("sign", l, 0, lambda t, y, l=l, s=self.sgn[l]: -s * self.tau(l, y) - 1e-12))
            elif self.flank[l]:
                out.append(("part", l, 0, lambda t, y, l=l, s=self.flank[l]: -s * self.tau(l, y) - 1e-12))
            else:
                for side in (1, -1):
                    out.append(("touch", l, side, lambda t, y, l=l, s=side: min(s * v for v in self.tau_on(l, y, s)) - 1e-13))
        if self.soft:
            if self.stopSide:
                out.append(("leave", 0, 0, lambda t, y, s=self.stopSide: -s * self.stop_tau(y, s)[1]))
            else:
                for side in (1, -1):
                    out.append(("meet", 0, side, lambda t, y, s=side: min(self.stop_tau(y, s)[0], s * self.stop_tau(y, s)[1]) - 1e-13))
        elif self.s[B - 1]:
            side = self.s[B - 1]
            out.append(("meet", 0, side, lambda t, y, s=side: y[B - 1] - self.travel if s > 0 else -y[B - 1]))
        if self.driver == "full" and np.isfinite(self.limit):
            out.append(("limit", 0, 0, lambda t, y: self.sense * y[-1] - self.limit * (1 + 1e-9)))
        if self.driver == "limiting":
            free = (self.voltage - self.R * self.limit) / self.torqueConstant
            out.append(("free", 0, 0, lambda t, y: self.sense * y[B] - free))
        return out

    def apply(self, kind, i, side, y, log, t):
        B = self.B
        if kind == "rest":
            y[B + i] = 0
            self.s[i] = 0
            if i == B - 1:
                self.E = 0
            for way in (1, -1):
                if way * self.applied(i, y) - self.holds(i, way, y) > 0:
                    self.s[i] = way
        elif kind == "release":
            self.s[i] = side
            if i == B - 1:
                self.at_stop = 0
                if log["firstMotion"] is None:
                    log["firstMotion"] = t
        elif kind == "touch":
            self.flank[i] = side
        elif kind == "part":
            self.flank[i] = 0
        elif kind == "sign":
            self.sgn[i] = -self.sgn[i]
        elif kind == "leave":
            self.stopSide = 0
        elif kind == "meet":
            if side == self.sense and log["arrival"] is None:
                log["arrival"] = t
            if self.soft:
                self.stopSide = side
            else:
                self.E = 0
                y[B - 1] = self.travel if side > 0 else 0.0
                kept = -self.stop["restitution"] * y[2 * B - 1]
                noload = self.voltage / self.torqueConstant / np.prod([l["ratio"] for l in self.links])
                if abs(kept) > 1e-3 * noload:
                    y[2 * B - 1] = kept
                    self.s[B - 1] = int(np.sign(kept))
                else:
                    y[2 * B - 1] = 0
                    self.s[B - 1] = 0
                    self.at_stop = side
        elif kind == "limit":
            y[-1] = self.sense * self.limit
            self.driver = "limiting"
        elif kind == "free":
            self.driver = "full"


def run(case):
    case = {**data["common"], **case}
    case["friction_"] = case.pop("friction")
    tr = Train(case)
    tr.at_stop = 0
    B = tr.B
    y = np.zeros(2 * B + 1)
    y[B - 1] = 0.0 if tr.sense > 0 else tr.travel
    for l in range(B - 2, -1, -1):
        k = tr.links[l]
        y[l] = (y[l + 1] - tr.sense * 0.5 * k["backlash"] * (1 - 1e-9)) * k["ratio"]
    grid = np.linspace(0, tr.horizon, tr.samples + 1)[1:]
    rows, log = [], {"firstMotion": None, "arrival": None}
    peak = np.zeros(B - 1)
    t, nev, counts = 0.0, 0, {}
    while t < tr.horizon - 1e-15:
        until = tr.horizon
        if tr.driver == "dead":
            if t >= tr.deadTime:
                tr.driver = "full"
                continue
            until = tr.deadTime
        evs = tr.events()
        fns = []
        for kind, i, side, g in evs:
            def fn(tt, yy, g=g):
                return g(tt, yy)
            fn.terminal, fn.direction = True, 1
            fns.append(fn)
        # The first bit of a piece without events, so that the one just met is not met again.
        h0 = min(1e-9, until - t)
        a = solve_ivp(tr.f, (t, t + h0), y, method="Radau", rtol=RTOL, atol=ATOL)
        y1 = a.y[:, -1]
        hit = [e for e in evs if e[3](t + h0, y1) > 0]
        if hit:
            t, y = t + h0, y1
            kind, i, side, _ = hit[0]
        else:
            sol = solve_ivp(tr.f, (t + h0, until), y1, method="Radau", rtol=RTOL, atol=ATOL, events=fns, dense_output=True, max_step=2e-3, first_step=min(1e-7, max(until - t - h0, 1e-12)))
            assert sol.status >= 0, sol.message
            inside = grid[(grid > t) & (grid <= sol.t[-1])]
            rows += [[float(x), *map(float, sol.sol(x))] for x in inside]
            for x in np.linspace(sol.t[0], sol.t[-1], 4 * len(sol.t)):
                yy = sol.sol(x)
                peak = np.maximum(peak, [abs(tr.tau(l, yy)) for l in range(B - 1)])
            t, y = sol.t[-1], sol.y[:, -1].copy()
            if sol.status == 0:
                continue
            which = [j for j, te in enumerate(sol.t_events) if len(te)]
            kind, i, side, _ = evs[which[0]]
        nev += 1
        counts[f"{kind} {i}"] = counts.get(f"{kind} {i}", 0) + 1
        assert nev < 1000, (case["name"], counts, t)
        tr.apply(kind, i, side, y, log, t)
    print(case["name"], log, counts, peak)
    return {"name": case["name"], **log, "peaks": [float(p) for p in peak], "events": counts, "rows": rows}


def runs():
    only = sys.argv[1:]
    for case in data["cases"]:
        if not only or any(word in case["name"] for word in only):
            yield run(case)


out = {
    "about": "Made by generate.py from cases.json: scipy.integrate.solve_ivp, Radau, rtol 1e-10, atol 1e-13, between events. Rows: time, angles of the bodies, their speeds, current.",
    "solver": f"scipy {scipy.__version__}",
    "runs": list(runs()),
}
if len(sys.argv) == 1:
    (here / "trajectories.json").write_text(json.dumps(out) + "\n")
