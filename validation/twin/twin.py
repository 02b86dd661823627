"""An independent twin of the engine: slow, clear, written from published formulas.

It shares no code, no table and no method with the engine. Where the engine marches indicial lags in time, the twin works in
the frequency domain with Sears' function from Bessel functions; where the engine iterates annuli eight at a time, the twin brackets
one unknown inside the other. Running it writes `../data/twin/twin.csv`, which `wakebeat validate` compares with the engine.

    python3 twin.py            needs numpy and scipy

Formulas
  gust on a section       L = 2 pi rho W (c/2) w S(k) e^(i w t), k = n Omega c / (2 W)      Sears, J. Aeronaut. Sci. 8 (1941)
                          S(k) = 1 / (i k (K0(ik) + K1(ik))), phase of the gust at mid-chord
  annulus                 dT = 4 pi r rho F (V + v) v dr,  dQ = 4 pi r^2 rho F (V + v) w dr     Glauert, in Durand IV (1935)
                          V azimuth mean of the axial inflow, v and w constant in azimuth
  tip and root            F = Ft Fr, F = (2/pi) acos exp(-f), ft = (N/2)(R - r)/(r sin phi), fr = (N/2)(r - r0)/(r0 sin phi)
                          tan phi = (V + v)/(Omega r - w)                                       Prandtl 1919
  wake of a wing          dq/q = 2.42 sqrt(cd)/(x/c + 0.3) cos^2(pi z/(2 b)), b = 0.68 c sqrt(cd (x/c + 0.15))
                          u/V = sqrt(1 - dq/q)                                  Silverstein, Katzoff, Bullivant, NACA Report 651
The velocity across the chord is lagged, the one along it acts at once through the square of the speed. Lift stands square to
the velocity so made, drag along it.

Frames: x aft, y starboard, z up. Azimuth is zero at the top and grows with the rotation; clockwise is seen from behind.
Hub loads: thrust forward, side force starboard, vertical force up, torque, pitching moment nose up, yawing moment nose to starboard.
"""

import csv
import pathlib
from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq
from scipy.special import kv

DENSITY = 1.225  # kg/m3, sea level
STATIONS = 60
AZIMUTHS = 1440


def sears(k):
    """S(k), phase of the gust at mid-chord, time factor exp(+i w t)."""
    k = np.asarray(k, dtype=float)
    small = k < 1e-12
    z = 1j * np.where(small, 1.0, k)
    return np.where(small, 1.0, 1.0 / (z * (kv(0, z) + kv(1, z))))


@dataclass
class Blade:
    """Straight lines from root to tip; a thin section with straight lift and a drag parabola."""

    root: float  # m
    tip: float  # m
    chord: tuple  # m at root and tip
    twist_deg: tuple  # at root and tip
    slope: float  # per rad
    zero_lift_deg: float
    drag_min: float
    drag_rise: float

    def chord_at(self, r):
        return np.interp(r, [self.root, self.tip], self.chord)

    def twist_at(self, r):
        return np.radians(np.interp(r, [self.root, self.tip], self.twist_deg))

    def coefficients(self, alpha):
        lift = self.slope * (alpha - np.radians(self.zero_lift_deg))
        return lift, self.drag_min + self.drag_rise * lift**2


@dataclass
class Case:
    name: str
    blades: int
    blade: Blade
    airspeed: float  # m/s
    omega: float  # rad/s
    clockwise: bool = True
    alpha_deg: float = 0.0
    # Velocity over airspeed at (y, z), three components; None is the free stream.
    field: object = None

    def velocity(self, y, z):
        if self.field is not None:
            return self.airspeed * np.array(self.field(y, z))
        a = np.radians(self.alpha_deg)
        one = np.ones_like(y)
        return self.airspeed * np.array([np.cos(a) * one, 0 * one, np.sin(a) * one])


class Annulus:
    """One radius: what the section meets and what it yields over a revolution."""

    def __init__(self, case, r, dr):
        self.case, self.r, self.dr = case, r, dr
        psi = 2 * np.pi * np.arange(AZIMUTHS) / AZIMUTHS
        side = 1.0 if case.clockwise else -1.0
        # Unit vector along the motion of the blade.
        along = np.array([side * np.cos(psi), -np.sin(psi)])
        u = case.velocity(side * r * np.sin(psi), r * np.cos(psi))
        self.axial = u[0]
        # Air that meets the blade beside its own motion.
        self.against = -(u[1] * along[0] + u[2] * along[1])
        self.chord, self.twist = case.blade.chord_at(r), case.blade.twist_at(r)
        self.mean_axial = self.axial.mean()

    def lagged(self, w, speed):
        """The velocity across the chord after Sears' function, order by order."""
        orders = np.fft.rfftfreq(AZIMUTHS, 1.0 / AZIMUTHS)
        k = orders * self.case.omega * self.chord / (2 * speed)
        return np.fft.irfft(np.fft.rfft(w) * sears(k), AZIMUTHS)

    def forces(self, v, swirl):
        """Forward force and force against the motion, per unit span, over azimuth."""
        axial = self.axial + v
        around = self.case.omega * self.r - swirl + self.against
        cos, sin = np.cos(self.twist), np.sin(self.twist)
        across = around * sin - axial * cos
        chordwise = around * cos + axial * sin
        across = self.lagged(across, np.hypot(axial, around).mean())
        speed2 = across**2 + chordwise**2
        alpha = np.arctan2(across, chordwise)
        lift, drag = self.case.blade.coefficients(alpha)
        head = 0.5 * DENSITY * self.chord * speed2
        inflow = self.twist - alpha
        forward = head * (lift * np.cos(inflow) - drag * np.sin(inflow))
        against = head * (lift * np.sin(inflow) + drag * np.cos(inflow))
        return forward, against

    def factor(self, v, swirl):
        phi = np.arctan2(self.mean_axial + v, self.case.omega * self.r - swirl)
        s, n = abs(np.sin(phi)), self.case.blades
        b = self.case.blade

        def part(f):
            return 2 / np.pi * np.arccos(np.exp(-f))

        return part(0.5 * n * (b.tip - self.r) / (self.r * s)) * part(0.5 * n * (self.r - b.root) / (b.root * s))

    def swirl(self, v):
        """The swirl that balances torque for a given v, by bracketing."""

        def miss(w):
            _, against = self.forces(v, w)
            flow = 4 * np.pi * self.r * DENSITY * self.factor(v, w) * (self.mean_axial + v)
            return self.case.blades * against.mean() - flow * w

        top = 0.9 * self.case.omega * self.r
        return brentq(miss, -0.2 * top, top, xtol=1e-10)

    def solve(self):
        """The induced velocity that balances thrust, by bracketing; the swirl inside it."""

        def miss(v):
            w = self.swirl(v)
            forward, _ = self.forces(v, w)
            flow = 4 * np.pi * self.r * DENSITY * self.factor(v, w) * (self.mean_axial + v)
            return self.case.blades * forward.mean() - flow * v

        # Up from well below no load, until thrust no longer exceeds what the annulus takes.
        step = 0.05 * self.mean_axial
        low = -4 * step
        while miss(low + step) > 0:
            low += step
        v = brentq(miss, low, low + step, xtol=1e-10)
        return self.forces(v, self.swirl(v))


def stations(blade):
    """Middles and widths of annuli that shrink towards root and tip."""
    edges = blade.root + 0.5 * (blade.tip - blade.root) * (1 - np.cos(np.linspace(0, np.pi, STATIONS + 1)))
    return 0.5 * (edges[1:] + edges[:-1]), np.diff(edges)


def hub_loads(case):
    """Hub loads over a revolution from one blade's, shifted to each of the others."""
    psi = 2 * np.pi * np.arange(AZIMUTHS) / AZIMUTHS
    side = 1.0 if case.clockwise else -1.0
    names = ["thrust", "torque", "side_force", "vertical_force", "pitching_moment", "yawing_moment"]
    one = {name: np.zeros(AZIMUTHS) for name in names}
    for r, dr in zip(*stations(case.blade)):
        forward, against = Annulus(case, r, dr).solve()
        one["thrust"] += forward * dr
        one["torque"] += against * r * dr
        # The blade is pushed back against its motion.
        one["side_force"] -= side * against * np.cos(psi) * dr
        one["vertical_force"] += against * np.sin(psi) * dr
        # Forward force above the hub turns the nose down, to starboard of it the nose to port.
        one["pitching_moment"] -= forward * r * np.cos(psi) * dr
        one["yawing_moment"] -= side * forward * r * np.sin(psi) * dr
    total = {}
    for name, load in one.items():
        spectrum = np.fft.rfft(load)
        orders = np.arange(len(spectrum))
        # Blades evenly spaced: only multiples of their number are left, that many times one blade's.
        kept = np.where(orders % case.blades == 0, case.blades * spectrum, 0)
        total[name] = kept / AZIMUTHS
    return total


def survey(y, z):
    """u over V by radius and azimuth from a few Fourier orders whose size is the same at all radii (clockwise azimuth)."""
    psi = np.arctan2(y, z)
    u = 1.0
    for order, (a, b) in SURVEY_AXIAL.items():
        u = u + a * np.cos(order * psi) + b * np.sin(order * psi)
    v = SURVEY_SIDE[0] * np.cos(psi) + SURVEY_SIDE[1] * np.sin(2 * psi)
    w = SURVEY_UP[0] + SURVEY_UP[1] * np.cos(3 * psi)
    return [u, v + 0 * psi, w + 0 * psi]


# cosine and sine part by order
SURVEY_AXIAL = {0: (-0.04, 0.0), 1: (0.03, -0.02), 2: (-0.06, 0.01), 3: (0.02, 0.03), 4: (-0.03, 0.0), 6: (0.015, 0.01)}
SURVEY_SIDE = (0.02, 0.01)
SURVEY_UP = (0.05, -0.01)


def wing_wake(chord, drag, aft, height):
    """The correlation of NACA Report 651 behind a long wing whose wake runs straight aft `height` above the hub."""
    xi = aft / chord
    half_width = 0.68 * chord * np.sqrt(drag * (xi + 0.15))
    loss = 2.42 * np.sqrt(drag) / (xi + 0.3)

    def at(y, z):
        zeta = (z - height) / half_width
        dq = np.where(np.abs(zeta) < 1, loss * np.cos(0.5 * np.pi * zeta) ** 2, 0.0)
        one = np.ones_like(z)
        return [np.sqrt(1 - dq), 0 * one, 0 * one]

    return at


SLENDER = Blade(0.05, 0.25, (0.035, 0.025), (40.0, 16.0), 5.9, -2.0, 0.012, 0.010)
BROAD = Blade(0.10, 0.60, (0.10, 0.07), (46.0, 20.0), 5.7, -3.0, 0.010, 0.008)

CASES = [
    Case("survey, 3 blades", 3, SLENDER, 20.0, 500.0, field=survey),
    Case("incidence 6 deg, 2 blades", 2, BROAD, 30.0, 230.0, alpha_deg=6.0),
    Case("wing wake, shaft 0.02 m above, 4 blades", 4, SLENDER, 20.0, 480.0, field=wing_wake(0.30, 0.02, 0.10, -0.02)),
    Case("wing wake, shaft in its plane, 5 blades", 5, BROAD, 32.0, 220.0, field=wing_wake(0.80, 0.02, 0.20, 0.0)),
    Case(
        "wing wake, shaft 0.06 m above, 2 blades counterclockwise",
        2,
        BROAD,
        28.0,
        240.0,
        clockwise=False,
        field=wing_wake(0.80, 0.025, 0.15, -0.06),
    ),
]


def main():
    target = pathlib.Path(__file__).resolve().parent.parent / "data" / "twin" / "twin.csv"
    with target.open("w", newline="") as file:
        file.write("# Hub loads of five configurations by the independent twin, validation/twin/twin.py (numpy, scipy)\n")
        file.write("# COMPUTED from the formulas in its head: annuli by bracketing, gusts by Sears' function in the frequency domain\n")
        file.write(f"# {STATIONS} stations, {AZIMUTHS} azimuths; twice of both moves a mean by less than 0.1 % and an NP amplitude by less than 0.5 %\n")
        file.write("# order 0 is the signed mean, others single-sided amplitudes; N, N m\n")
        writer = csv.writer(file)
        writer.writerow(["case", "load", "order", "amplitude"])
        for case in CASES:
            for name, spectrum in hub_loads(case).items():
                for multiple in range(4):
                    order = multiple * case.blades
                    value = spectrum[order].real if order == 0 else 2 * abs(spectrum[order])
                    writer.writerow([case.name, name, order, f"{value:.7g}"])
            print(case.name)


if __name__ == "__main__":
    main()
