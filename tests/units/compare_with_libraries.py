"""Compares the factors in expected.tsv with two published libraries.

Needs Python 3.11 with pint==0.25.3 and scipy. Pint is asked in exact fractions, so that agreement means equality;
units with pi in them, and everything of scipy, are compared to 4e-16 of their size. The known disagreements are listed
with their reasons, and each must still disagree. Closes with `N passed, 0 failed`; leaves with 1 when anything failed.
"""

import math
import pathlib
import sys
from fractions import Fraction

import pint
import scipy.constants

CLOSE = 4e-16

# (library, spelling): why the library differs. Each entry is checked: a difference that has gone is a failure too.
DIFFER = {
    ("pint", "fathom"): "pint builds on the US survey foot, retired at the end of 2022",
    ("pint", "chain"): "pint builds on the US survey foot",
    ("pint", "rod"): "pint builds on the US survey foot",
    ("pint", "furlong"): "pint builds on the US survey foot",
    ("pint", "acre"): "pint builds on the US survey foot",
    ("pint", "mil_angle"): "pint has pi/32000 rad, a tenth of the value of SP 811",
    ("pint", "Btu"): "pint has the rounded 1055.056 J",
    ("pint", "TR"): "pint builds on the rounded Btu",
    ("pint", "hp_S"): "SP 811 gives 9809.50 W; pint takes 33 475 Btu/h",
    ("scipy", "mmHg"): "scipy sets mmHg equal to the torr",
}


def rows():
    path = pathlib.Path(__file__).with_name("expected.tsv")
    for line in path.read_text(encoding="utf-8").splitlines():
        if line.startswith("#"):
            continue
        kind, written, factor, pi, nearest, offset, *_dimension, _source, in_pint, in_scipy = line.split("\t")
        if kind != "spelling":
            yield written, Fraction(factor), int(pi), float(nearest), float(offset), in_pint, in_scipy


def near(one, other):
    return math.isclose(float(one), float(other), rel_tol=CLOSE, abs_tol=0.0)


def by_pint(registry, factor, pi, nearest, offset, name):
    if offset:
        # A temperature scale: where its zero and its fifty stand, in kelvin.
        at = [float(registry.Quantity(Fraction(number), name).to("kelvin").magnitude) for number in (0, 50)]
        return math.isclose(at[0], offset, rel_tol=1e-14) and math.isclose(at[1], 50 * nearest + offset, rel_tol=1e-14)
    found = registry.Quantity(Fraction(1), registry.parse_units(name)).to_base_units().magnitude
    # Pint's base unit of mass is the gram or the kilogram as it is set up; "mks" keeps the kilogram.
    return near(found, nearest) if pi else Fraction(found) == factor


def main():
    registry = pint.UnitRegistry(non_int_type=Fraction, autoconvert_offset_to_baseunit=True)
    registry.default_system = "mks"
    passed, failures, differing = {"pint": 0, "scipy": 0}, [], []

    def settle(library, written, agrees):
        reason = DIFFER.get((library, written))
        if agrees and reason is None:
            passed[library] += 1
        elif reason is not None and not agrees:
            passed[library] += 1
            differing.append(f"{library}: {written}: {reason}")
        elif reason is not None:
            failures.append(f"{library}: {written}: listed as differing, but it agrees")
        else:
            failures.append(f"{library}: {written}: does not agree")

    for written, factor, pi, nearest, offset, in_pint, in_scipy in rows():
        if in_pint:
            try:
                settle("pint", written, by_pint(registry, factor, pi, nearest, offset, in_pint))
            except Exception as problem:
                failures.append(f"pint: {written}: {in_pint}: {problem}")
        if in_scipy:
            settle("scipy", written, near(getattr(scipy.constants, in_scipy), nearest))

    print(f"pint {pint.__version__}: {passed['pint']} compared; scipy {scipy.__version__}: {passed['scipy']} compared")
    for line in differing:
        print("known difference:", line)
    for line in failures:
        print("FAILED:", line)
    if passed["pint"] < 60:
        failures.append("fewer than sixty units compared")
    print(f"{sum(passed.values())} passed, {len(failures)} failed")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
