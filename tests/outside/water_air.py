"""Water, ice and dry air from the iapws package for Python, as CSV: name, temperature (C), value (SI).

Water and vapour: IAPWS-95, viscosity R12-08, tension R1-76(2014). Ice: R10-06(2009), sublimation
R14-08(2011). Air: Lemmon 2000 with the transport properties of Lemmon and Jacobsen 2004.
Films and wet bulb: the published formulas worked here with that air, apart from the program.
"""
import math

from iapws import IAPWS95, _Ice, _Sublimation_Pressure
from iapws.humidAir import Air

ATM = 0.101325  # MPa
G = 9.80665


def put(name, t_c, value):
    print("%s,%.10g,%.10g" % (name, t_c, value))


def water():
    for t_c in range(0, 45, 5):
        t_k = max(t_c + 273.15, 273.16)
        liquid = IAPWS95(T=t_k, P=ATM)
        boiling, steam = IAPWS95(T=t_k, x=0), IAPWS95(T=t_k, x=1)
        put("density", t_k - 273.15, liquid.rho)
        put("viscosity", t_k - 273.15, liquid.mu)
        put("heat", t_k - 273.15, liquid.cp * 1e3)
        put("tension", t_k - 273.15, boiling.sigma)
        put("saturation", t_k - 273.15, boiling.P * 1e6)
        put("vaporisation", t_k - 273.15, (steam.h - boiling.h) * 1e3)


def ice():
    zero = _Ice(273.15, ATM)
    put("fusion", 0, (IAPWS95(T=273.15, P=ATM).h - zero["h"]) * 1e3)
    put("ice density", 0, zero["rho"])
    for t_c in (0, -5, -10):
        put("ice heat", t_c, _Ice(t_c + 273.15, ATM)["cp"] * 1e3)
    put("ice cold content", -10, (zero["h"] - _Ice(263.15, ATM)["h"]) * 1e3)
    for t_c in (-20, -15, -10, -5):
        put("sublimation", t_c, _Sublimation_Pressure(t_c + 273.15) * 1e6)


def air_at(t_c):
    a = Air(T=t_c + 273.15, P=ATM)
    nu, alpha = a.mu / a.rho, a.k / (a.rho * a.cp * 1e3)
    return a, nu, alpha, nu / alpha


def air():
    for t_c in range(0, 45, 5):
        a, nu, alpha, prandtl = air_at(t_c)
        put("air conductivity", t_c, a.k)
        put("air kinematic viscosity", t_c, nu)
        put("air diffusivity", t_c, alpha)
        put("air prandtl", t_c, prandtl)


def films():
    """A surface at 0 C in a room of 21 C; properties at the mean of both."""
    a, nu, alpha, prandtl = air_at(10.5)
    rayleigh = lambda length: G / 283.65 * 21 * length**3 / (nu * alpha)
    for mm in (5, 33.5, 80):
        d = mm / 1e3
        bracket = (1 + (0.469 / prandtl) ** (9 / 16)) ** (4 / 9)
        put("sphere still", mm, (2 + 0.589 * rayleigh(d) ** 0.25 / bracket) * a.k / d)
    for mm in (20, 50, 120):
        h = mm / 1e3
        root = (1 + (0.492 / prandtl) ** (9 / 16)) ** (4 / 9)
        put("vertical laminar", mm, (0.68 + 0.670 * rayleigh(h) ** 0.25 / root) * a.k / h)
        root = (1 + (0.492 / prandtl) ** (9 / 16)) ** (8 / 27)
        put("vertical any", mm, (0.825 + 0.387 * rayleigh(h) ** (1 / 6) / root) ** 2 * a.k / h)
    for mm in (50, 111, 250):
        put("cold up", mm, 0.27 * rayleigh(mm / 1e3) ** 0.25 * a.k / (mm / 1e3))
    for v in (0.1, 0.3, 1, 3):
        re = v * 0.0335 / nu
        put("sphere forced", v, (2 + 0.6 * re**0.5 * prandtl ** (1 / 3)) * a.k / 0.0335)
        re = v * 0.4 / nu
        put("plate forced", v, 0.664 * re**0.5 * prandtl ** (1 / 3) * a.k / 0.4)


def psychrometric():
    """Lewis relation at 10.5 C; vapour in air 0.26 cm2/s at 298 K (Incropera, table A.8, from memory)."""
    _, _, alpha, _ = air_at(10.5)
    lewis = alpha / (0.26e-4 * (283.65 / 298) ** 1.81)
    put("psychrometric", 10.5, 1006 * ATM * 1e6 * lewis ** (2 / 3) / (0.622 * 2500.9e3))


def free_spheres():
    """Seconds in which spheres of ice hung in a room of 21 C melt: still dry air and radiation, drained."""
    a, nu, alpha, prandtl = air_at(10.5)
    bracket = (1 + (0.469 / prandtl) ** (9 / 16)) ** (4 / 9)
    radiation = 0.97 * 5.670374e-8 * (294.15**4 - 273.15**4)
    for mm in (20, 33.5, 80):
        steps, seconds = 2000, 0.0
        for i in range(steps):
            d = mm / 1e3 * (i + 0.5) / steps
            rayleigh = G / 283.65 * 21 * d**3 / (nu * alpha)
            film = (2 + 0.589 * rayleigh**0.25 / bracket) * a.k / d
            seconds += 916.72 * 333427 * 0.5 * mm / 1e3 / steps / (film * 21 + radiation)
        put("free sphere", mm, seconds)


def wet_bulb():
    """Adiabatic wet bulb of 21 C and 50 %: ASHRAE Fundamentals 2017, chapter 1, equation 33."""
    pressure = ATM * 1e6
    ratio = lambda e: 0.621945 * e / (pressure - e)
    vapour = lambda t_c: IAPWS95(T=t_c + 273.15, x=0).P * 1e6
    w, low, high = ratio(0.5 * vapour(21)), 5.0, 21.0
    while high - low > 1e-6:
        t = 0.5 * (low + high)
        found = ((2501 - 2.326 * t) * ratio(vapour(t)) - 1.006 * (21 - t)) / (2501 + 1.86 * 21 - 4.186 * t)
        low, high = (t, high) if found < w else (low, t)
    put("wet bulb", 21, 0.5 * (low + high))


water()
ice()
air()
films()
psychrometric()
free_spheres()
wet_bulb()
