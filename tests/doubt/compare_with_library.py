"""Compares values and standard uncertainties of random expressions with a general-purpose library.

Needs Python 3.11 with uncertainties==3.2.3 and numpy, and the built program: its path as the only argument, or
`parbuckle` in the debug folder of cargo's target. Two hundred expressions rest on independent inputs that they share, a
hundred more on correlated ones; later ones use the results of earlier ones. Values are compared to 1e-12 of their size,
standard uncertainties to 1e-9. Closes with `N passed, 0 failed`; leaves with 1 when anything failed.
"""

import itertools
import json
import math
import os
import pathlib
import random
import subprocess
import sys
import tempfile

import numpy
import uncertainties
from uncertainties import umath

SEED = 20080100
VALUE, DOUBT = 1e-12, 1e-9

# Inputs: name, sort, value in its unit, standard uncertainty in its unit, unit, factor to the coherent unit.
INPUTS = [
    ("p", "number", 3.25, 0.05, "", 1.0),
    ("q", "number", -1.4, 0.11, "", 1.0),
    ("u", "number", 0.62, 0.008, "", 1.0),
    ("v", "number", 7.5, 0.4, "", 1.0),
    ("load", "force", 2.35, 0.06, "kN", 1000.0),
    ("pull", "force", 640.0, 9.0, "N", 1.0),
    ("phi", "angle", 0.85, 0.012, "rad", 1.0),
    ("slope", "angle", 24.0, 0.7, "deg", math.pi / 180),
    ("spare", "number", 5.0, 0.0, "", 1.0),
]

ATOM, POWER, MINUS, TIMES, PLUS = 5, 4, 3, 2, 1


class Unfit(Exception):
    """The expression leaves what is defined, or loses digits that a comparison would want."""


def nominal(value):
    return getattr(value, "nominal_value", value)


def size(value):
    return abs(nominal(value))


def kept(result, *parts):
    # A difference of near equals has fewer good digits than it is compared in.
    if size(result) < 0.02 * max(size(part) for part in parts):
        raise Unfit
    return result


class Written:
    """An expression as the language writes it, how tightly it binds, and what the library makes of it for an index i."""

    def __init__(self, text, binds, value):
        self.text, self.binds, self.value = text, binds, value

    def within(self, least):
        return self.text if self.binds >= least else f"({self.text})"


def infix(sign, left, right, work, binds, left_least, right_least):
    return Written(f"{left.within(left_least)} {sign} {right.within(right_least)}", binds, lambda i: work(left.value(i), right.value(i)))


def plus(a, b):
    return infix("+", a, b, lambda x, y: kept(x + y, x, y), PLUS, PLUS, TIMES)


def less(a, b):
    return infix("-", a, b, lambda x, y: kept(x - y, x, y), PLUS, PLUS, TIMES)


def times(a, b):
    return infix("*", a, b, lambda x, y: x * y, TIMES, TIMES, MINUS)


def over(a, b):
    return infix("/", a, b, lambda x, y: x / y, TIMES, TIMES, POWER)


def negative(a):
    return Written(f"-{a.within(POWER)}", MINUS, lambda i: -a.value(i))


def power(a, b):
    def work(x, y):
        whole = not hasattr(y, "nominal_value") and float(y).is_integer()
        if nominal(x) <= 0 and not whole:
            raise Unfit
        return x**y

    return infix("^", a, b, work, POWER, ATOM, MINUS)


def call(name, work, *arguments):
    return Written(f"{name}({', '.join(one.text for one in arguments)})", ATOM, lambda i: work(*(one.value(i) for one in arguments)))


def constant(number):
    return Written(repr(number), ATOM, lambda i: number)


def in_unit(a, sign, unit, factor=1.0):
    """`a * 1 rad`, `a / 1 rad`: from a number to an angle or a force, and back."""
    work = (lambda x: x * factor) if sign == "*" else (lambda x: x / factor)
    return Written(f"{a.within(TIMES)} {sign} 1 {unit}", TIMES, lambda i: work(a.value(i)))


def inside(x):
    if size(x) > 0.97:
        raise Unfit
    return x


def positive(x):
    if not nominal(x) > 1e-3:
        raise Unfit
    return x


def away_from_zero(x):
    if size(x) < 1e-3:
        raise Unfit
    return x if nominal(x) > 0 else -x


def near_enough(x):
    if size(x) > 12:
        raise Unfit
    return x


class Maker:
    """Makes expressions of a sort from inputs and earlier results."""

    def __init__(self, chance, names):
        self.chance, self.names, self.used = chance, names, set()

    def leaf(self, sort, index):
        choice = self.chance
        own = [name for name, (kind, _) in self.names.items() if kind == sort]
        if sort == "number" and index and choice.random() < 0.4:
            return Written("i", ATOM, lambda i: float(i))
        if own and choice.random() < 0.85:
            name = choice.choice(own)
            value = self.names[name][1]
            return Written(name, ATOM, lambda i: value)
        if sort == "number":
            return constant(round(choice.uniform(0.2, 4.0), choice.choice([0, 1, 2])) or 1.0)
        if sort == "angle":
            return in_unit(self.leaf("number", index), "*", "rad")
        return in_unit(self.leaf("number", index), "*", "kN", 1000.0)

    def make(self, sort, depth, index=False):
        choice = self.chance
        if depth == 0 or choice.random() < 0.06:
            return self.leaf(sort, index)
        down = lambda kind: self.make(kind, depth - 1, index)
        if sort == "force":
            return self.force(down)
        if sort == "angle":
            return self.angle(down)
        way = choice.choice(
            ["+", "-", "*", "*", "/", "/", "^", "^", "neg", "sqrt", "abs", "exp", "ln", "sin", "cos", "tan", "force", "angle", "sum", "list", "most"]
        )
        self.used.add(way)
        if way in ("+", "-", "*", "/"):
            return {"+": plus, "-": less, "*": times, "/": over}[way](down("number"), down("number"))
        if way == "^":
            if choice.random() < 0.4:
                return power(down("number"), self.leaf("number", False))
            exponent = choice.choice([2, 3, -1, -2, 0.5, 1.5, -0.5])
            return power(down("number"), negative(constant(-exponent)) if exponent < 0 else constant(exponent))
        if way == "neg":
            return negative(down("number"))
        if way == "force":
            return over(down("force"), down("force"))
        if way == "angle":
            return in_unit(down("angle"), "/", "rad")
        if way == "sum" and not index:
            last = choice.choice([3, 4])
            of = self.make("number", depth - 1, True)

            def work(_):
                parts = [of.value(i) for i in range(1, last + 1)]
                return kept(sum(parts), *parts)

            return Written(f"sum({of.text} for i from 1 to {last})", ATOM, work)
        if way in ("list", "sum"):
            return self.listed(down)
        if way == "most":
            return self.extreme(down)
        one = down("angle") if way in ("sin", "cos", "tan") else down("number")
        works = {
            "sqrt": lambda x: umath.sqrt(positive(x)),
            "abs": away_from_zero,
            "exp": lambda x: umath.exp(near_enough(x)),
            "ln": lambda x: umath.log(positive(x)),
            "sin": lambda x: umath.sin(near_enough(x)),
            "cos": lambda x: umath.cos(near_enough(x)),
            "tan": lambda x: umath.tan(inside(x / 1.5) * 1.5),
        }
        return call(way, works[way], one)

    def listed(self, down):
        items = [down("number") for _ in range(3)]
        text = f"sum([{', '.join(one.text for one in items)}])"

        def work(i):
            parts = [one.value(i) for one in items]
            return kept(sum(parts), *parts)

        return Written(text, ATOM, work)

    def extreme(self, down):
        name = self.chance.choice(["max", "min"])
        pick = {"max": max, "min": min}[name]
        return call(name, lambda *of: pick(of, key=nominal), down("number"), down("number"))

    def force(self, down):
        way = self.chance.choice(["+", "-", "*", "/", "root", "abs"])
        if way in ("+", "-"):
            return {"+": plus, "-": less}[way](down("force"), down("force"))
        if way == "*":
            return times(down("number"), down("force"))
        if way == "/":
            return over(down("force"), down("number"))
        if way == "abs":
            return call("abs", away_from_zero, down("force"))
        squares = plus(power(down("force"), constant(2)), power(down("force"), constant(2)))
        return call("sqrt", umath.sqrt, squares)

    def angle(self, down):
        way = self.chance.choice(["+", "-", "*", "asin", "acos", "atan"])
        self.used.add(way)
        if way in ("+", "-"):
            return {"+": plus, "-": less}[way](down("angle"), down("angle"))
        if way == "*":
            return times(down("number"), down("angle"))
        if way == "atan":
            return call("atan", umath.atan, down("number"))
        return call(way, lambda x: {"asin": umath.asin, "acos": umath.acos}[way](inside(x)), down("number"))


def batch(chance, count, values, prefix):
    """`count` lines as (name, sort, text, value of the library)."""
    names = dict(values)
    maker, lines = Maker(chance, names), []
    for attempt in itertools.count():
        if len(lines) == count:
            return lines, maker.used
        if attempt > 1000 * count:
            raise RuntimeError("too few expressions are fit to compare")
        sort = chance.choice(["number", "number", "number", "force", "angle"])
        made = maker.make(sort, chance.choice([2, 3, 4]))
        try:
            value = made.value(None)
        except (Unfit, ZeroDivisionError, OverflowError, ValueError, TypeError):
            continue
        doubt = getattr(value, "std_dev", 0.0)
        most = {"number": 1e4, "force": 1e7, "angle": 50.0}[sort]
        if not 1e-3 < size(value) < most or not 1e-9 < doubt / size(value) < 10 or len(made.text) > 300:
            continue
        if made.text in names or any(made.text == text for _, _, text, _ in lines):
            continue
        # Doubts that nearly cancel keep fewer digits than they are compared in.
        if doubt < 1e-4 * math.sqrt(sum(part * part for part in value.error_components().values())):
            continue
        name = f"{prefix}{len(lines) + 1}"
        lines.append((name, sort, made.text, value))
        if len(lines) % 5 == 0 and size(value) < 20 * (1000 if sort == "force" else 1):
            names[name] = (sort, value)


def doubtful(value, doubt):
    return uncertainties.ufloat(value, doubt) if doubt else value


def known(sorts_and_values):
    return {name: (sort, value) for name, sort, value in sorts_and_values}


def written_inputs(prefix, doubts=True):
    for name, _, value, doubt, unit, _ in INPUTS:
        stated = f" ± {doubt!r} {unit}".rstrip() + " (u)" if doubt else ""
        yield f'take {prefix}{name} = {value!r} {unit}'.rstrip() + f'{stated} from "a log"'


def correlations(chance):
    """A matrix that can be true of the inputs, its coefficients as written with three decimals."""
    count = len([one for one in INPUTS if one[3]])
    while True:
        rows = numpy.array([[chance.gauss(0, 1) for _ in range(count + 3)] for _ in range(count)])
        rows /= numpy.linalg.norm(rows, axis=1)[:, None]
        matrix = numpy.round(rows @ rows.T, 3)
        if numpy.linalg.eigvalsh(matrix).min() > 0.01:
            return matrix


def cancelling(prefix):
    """What leaves no doubt, or that of one input alone, because an input used twice is one doubt."""
    p, v = f"{prefix}p", f"{prefix}v"
    return [(f"{p} - {p}", lambda p, v: p - p), (f"{v} / {v}", lambda p, v: v / v), (f"{p} * {v} / {p}", lambda p, v: p * v / p)]


def results(program, lines, statements):
    text = "```rig\n" + "\n".join(statements)
    for name, sort, written, _ in lines:
        shown = {"number": "", "force": " as N", "angle": " as rad"}[sort]
        text += f"\n{name} = {written}{shown}"
    text += "\n```\n"
    with tempfile.TemporaryDirectory() as folder:
        sheet = pathlib.Path(folder, "compared.md")
        sheet.write_text(text, encoding="utf-8")
        said = subprocess.run([program, "build", str(sheet), "--out", folder], capture_output=True, text=True)
        if said.returncode != 0:
            raise RuntimeError(f"the program ended with {said.returncode}:\n{said.stdout}{said.stderr}")
        made = json.loads(pathlib.Path(folder, "compared.json").read_text(encoding="utf-8"))
    lines_of = (line for block in made["blocks"] if block["block"] == "working" for line in block["lines"])
    return {line["name"]: line["result"] for line in lines_of}


def compare(program, lines, statements, failures):
    found = results(program, lines, statements)
    passed = 0
    worst = [0.0, 0.0]
    for name, _, written, value in lines:
        want = (nominal(value), getattr(value, "std_dev", 0.0))
        got = (found[name]["si"], found[name]["standard_uncertainty"])
        off = [abs(g - w) / abs(w) if w else abs(g) for g, w in zip(got, want)]
        worst = [max(pair) for pair in zip(worst, off)]
        if off[0] <= VALUE and off[1] <= DOUBT:
            passed += 1
        else:
            failures.append(f"{name} = {written}\n    {got[0]!r} with {got[1]!r}, the library {want[0]!r} with {want[1]!r}")
    print(f"    largest differences: {worst[0]:.1e} of a value, {worst[1]:.1e} of a standard uncertainty")
    return passed


def main():
    target = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", pathlib.Path(__file__).parents[2] / "target"))
    program = sys.argv[1] if len(sys.argv) > 1 else str(target / "debug" / "parbuckle")
    chance = random.Random(SEED)
    passed, failures, used = 0, [], set()

    alone = known((name, sort, doubtful(value * factor, doubt * factor)) for name, sort, value, doubt, _, factor in INPUTS)
    lines, ways = batch(chance, 200, alone, "a")
    used |= ways
    for at, (written, work) in enumerate(cancelling("")):
        lines.append((f"cancels{at + 1}", "number", written, work(alone["p"][1], alone["v"][1])))
    print(f"uncertainties {uncertainties.__version__}: {len(lines)} expressions of independent inputs")
    passed += compare(program, lines, written_inputs(""), failures)

    matrix = correlations(chance)
    stated = [one for one in INPUTS if one[3]]
    nominal = [(value * factor, doubt * factor) for _, _, value, doubt, _, factor in stated]
    together = uncertainties.correlated_values_norm(nominal, matrix)
    joint = known((f"c_{name}", sort, value) for (name, sort, *_), value in zip(stated, together))
    joint |= known((f"c_{name}", sort, value) for name, sort, value, doubt, _, _ in INPUTS if not doubt)
    lines, ways = batch(chance, 100, joint, "b")
    used |= ways
    for at, (written, work) in enumerate(cancelling("c_")):
        lines.append((f"cancels{at + 1}", "number", written, work(joint["c_p"][1], joint["c_v"][1])))
    statements = list(written_inputs("c_"))
    for (i, one), (j, other) in itertools.combinations(enumerate(stated), 2):
        statements.append(f'correlation c_{one[0]}, c_{other[0]} = {float(matrix[i][j])!r} from "a log"')
    print(f"correlated_values: {len(lines)} expressions of {len(stated)} correlated inputs")
    passed += compare(program, lines, statements, failures)

    wanted = {"+", "-", "*", "/", "^", "sqrt", "abs", "exp", "ln", "sin", "cos", "tan", "asin", "acos", "atan", "sum"}
    if wanted - used:
        failures.append(f"never tried: {sorted(wanted - used)}")
    for line in failures:
        print("FAILED:", line)
    print(f"{passed} passed, {len(failures)} failed")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
