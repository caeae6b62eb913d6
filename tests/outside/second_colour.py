"""Colours computed a second time, by the colormath package, for colour_test.

usage: second_colour.py IN OUT
IN, one colour a line: 36 reflectances (380 .. 730 nm), XYZ (Y = 1), L* a* b*, linear sRGB.
OUT: largest difference in L*a*b* from XYZ, in L*a*b* from the spectrum, in sRGB steps of 1/255
(colours inside the gamut only), then how many colours and how many inside the gamut.
"""
import sys
import warnings

warnings.filterwarnings("ignore")
from colormath.color_conversions import convert_color
from colormath.color_objects import LabColor, SpectralColor, XYZColor, sRGBColor


def lab_of(colour):
    return convert_color(colour, LabColor, target_illuminant="d65").get_value_tuple()


def farthest(a, b):
    return max(abs(x - y) for x, y in zip(a, b))


def encoded(linear):
    return 12.92 * linear if linear <= 0.0031308 else 1.055 * linear ** (1 / 2.4) - 0.055


from_xyz = from_spectrum = srgb = 0.0
n = inside = 0
for line in open(sys.argv[1]):
    values = [float(v) for v in line.split()]
    spectrum, xyz, lab, rgb = values[:36], values[36:39], values[39:42], values[42:45]
    n += 1
    colour = XYZColor(*xyz, illuminant="d65", observer="2")
    from_xyz = max(from_xyz, farthest(lab_of(colour), lab))
    # The package wants 340 .. 830 nm; the ends, which the eye hardly sees, repeat.
    wide = [spectrum[0]] * 4 + spectrum + [spectrum[-1]] * 10
    bands = {f"spec_{340 + 10 * i}nm": r for i, r in enumerate(wide)}
    from_spectrum = max(from_spectrum, farthest(lab_of(SpectralColor(observer="2", illuminant="d65", **bands)), lab))
    if all(0 <= v <= 1 for v in rgb):
        inside += 1
        theirs = convert_color(colour, sRGBColor).get_value_tuple()
        srgb = max(srgb, 255 * farthest(theirs, [encoded(v) for v in rgb]))
with open(sys.argv[2], "w") as out:
    print(from_xyz, from_spectrum, srgb, n, inside, file=out)
