"""Fit sums of decaying exponentials to the exact indicial responses of a thin section.

Writes the constants in sim/engine/src/unsteady/indicial.rs. Needs numpy and scipy.

The exact functions are evaluated from their closed forms with scipy's Bessel functions:
    C(k)    = H1 / (H1 + i H0), second kind        Theodorsen, NACA Report 496, 1935
    S_LE(k) = [C (J0 - i J1) + i J1] exp(-ik)      Sears, J. Aeronaut. Sci. 8(3), 1941, leading-edge reference
The model is F(k) = 1 - sum_i A_i ik/(ik + b_i), rates b_i = b_0 3^i per semichord travelled, so that
all decay factors of a step follow from the slowest by cubing. sum A_i is pinned to 1 (no lift at the
instant a gust touches the leading edge) or 1/2 (Wagner's initial half). Nothing is fitted to measurements.
"""
import numpy as np
import scipy.special as sp

K = np.geomspace(0.002, 20.0, 800)


def theodorsen(k):
    h1, h0 = sp.hankel2(1, k), sp.hankel2(0, k)
    return h1 / (h1 + 1j * h0)


def sears_leading_edge(k):
    return (theodorsen(k) * (sp.jv(0, k) - 1j * sp.jv(1, k)) + 1j * sp.jv(1, k)) * np.exp(-1j * k)


def solve(target, total, rates, weight):
    m = -(1j * K[:, None]) / (1j * K[:, None] + rates[None, :])
    lhs = np.vstack([m.real * weight[:, None], m.imag * weight[:, None], 1e6 * np.ones((1, len(rates)))])
    rhs = np.concatenate([(target - 1).real * weight, (target - 1).imag * weight, [1e6 * total]])
    a = np.linalg.lstsq(lhs, rhs, rcond=None)[0]
    return a, 1 + m @ a


def fit(target, total, count, k_max, starts):
    best = None
    for b0 in starts:
        rates = b0 * 3.0 ** np.arange(count)
        inside = (K >= 0.004) & (K <= k_max)
        weight = inside / abs(target)
        for _ in range(25):  # reweighting towards the smallest largest relative error
            a, model = solve(target, total, rates, weight)
            miss = abs(model / target - 1)
            weight = weight * (0.5 + miss / miss[inside].max())
        judged = (K >= 0.01) & (K <= 6)
        worst = miss[judged].max()
        if best is None or worst < best[0]:
            best = (worst, b0, a)
    return best


if __name__ == "__main__":
    for name, target, total, count, k_max in (
        ("KUSSNER", sears_leading_edge(K), 1.0, 9, 6.0),
        ("WAGNER", theodorsen(K), 0.5, 8, 12.0),
    ):
        worst, b0, a = fit(target, total, count, k_max, np.round(np.geomspace(0.002, 0.1, 60), 5))
        print(f"// {name}: largest relative error for k = 0.01 to 6: {worst:.2e}")
        print(f"slowest rate {b0!r}, weights {[float(f'{v:.12f}') for v in a]}, sum {a.sum():.12f}")
