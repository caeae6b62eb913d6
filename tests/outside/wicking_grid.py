"""Water on a small sheet of cloth, V ds/dt = sum of edge fluxes, by SciPy's BDF with a sparse Jacobian pattern.

usage: wicking_grid.py IN OUT
IN:  nx ny lambda end_s, then per cell s, V, gx, gy, zx, zy (edges to the right and to the next row).
OUT: s at end_s, a line a cell.
Brooks-Corey from its definition: psi / h_e = s^(-1/lambda), Phi / (K_s h_e) = s^(3 + 1/lambda) / (3 lambda + 1).
"""
import sys

import numpy as np
from scipy.integrate import solve_ivp
from scipy.sparse import diags

with open(sys.argv[1], encoding="ascii") as file:
    nx, ny, lam, end = file.readline().split()
    nx, ny, lam, end = int(nx), int(ny), float(lam), float(end)
    s0, volume, gx, gy, zx, zy = np.loadtxt(file).T
n = nx * ny


def cross(u, p, k, g, z, step):
    """Water from each cell to the one `step` further; the border has g = 0."""
    a, b = slice(0, n - step), slice(step, n)
    dp = p[b] - p[a]
    alike = np.abs(dp) < 1e-9
    secant = np.where(alike, 0.5 * (k[a] + k[b]), (u[a] - u[b]) / np.where(alike, 1.0, dp))
    return g[a] * ((u[a] - u[b]) + secant * z[a])


def rate(_, s):
    u, p, k = s ** (3 + 1 / lam) / (3 * lam + 1), s ** (-1 / lam), s ** (3 + 2 / lam)
    out = np.zeros(n)
    for g, z, step in ((gx, zx, 1), (gy, zy, nx)):
        flow = cross(u, p, k, g, z, step)
        out[:-step] -= flow
        out[step:] += flow
    return out / volume


pattern = diags([1, 1, 1, 1, 1], [-nx, -1, 0, 1, nx], shape=(n, n))
answer = solve_ivp(rate, (0, end), s0, method="BDF", rtol=1e-9, atol=1e-9, jac_sparsity=pattern)
assert answer.success and answer.y.min() > 0 and answer.y.max() < 1
np.savetxt(sys.argv[2], answer.y[:, -1], fmt="%.12g")
