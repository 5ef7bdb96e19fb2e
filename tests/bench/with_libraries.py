"""The sheet of tests/bench/typical.md worked by general-purpose libraries, as one would write it for this one purpose.

pint carries the units, uncertainties the doubts, markdown-it-py reads the prose, jinja2 prints the page. It knows the few
statements, the three kinds of machine and the few words that the sheet is written in, and checks nothing else; it draws nothing.
`figures.py` times it and holds its numbers against the program's.

    with_libraries.py OUT SHEET...            writes a page for each sheet below OUT
    with_libraries.py --numbers SHEET         prints the values by name, as JSON
"""

import ast
import json
import math
import re
import sys
from types import SimpleNamespace

import jinja2
import pint
from markdown_it import MarkdownIt
from uncertainties import ufloat, umath

units = pint.UnitRegistry()
Quantity = units.Quantity
GRAVITY = Quantity(9.80665, "m/s^2")
NEWTON, JOULE, METRE = units.newton, units.joule, units.metre
markdown = MarkdownIt("commonmark").enable("table")

NUMBER = r"[-+]?\d+(?:\.\d+)?"
STATED = re.compile(rf"(?P<value>{NUMBER})\s*(?P<unit>[^\s±\d\"][^\s±\"]*)?(?:\s*±\s*(?P<doubt>{NUMBER})\s*(?P<doubt_unit>[^\s\"]+)?)?$")
TAKE = re.compile(r'take (\w+)(?: "([^"]*)")? = (.*?)(?: (from|measured|marked|weighed) "([^"]*)")?$')
LINE = re.compile(r"(\w+) = (.+)$")
CHECK = re.compile(r'check "([^"]*)": (.+?) <= (.+)$')
TRAIN = re.compile(r"train (\w+): \w+ -> (.+) -> (\w+)$")

PAGE = jinja2.Environment(autoescape=True, trim_blocks=True, lstrip_blocks=True).from_string("""<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><title>{{ title }}</title></head>
<body><h1>{{ title }}</h1>
{% for part in parts %}
{% if part.prose %}{{ part.prose | safe }}
{% else %}
{% for row in part.rows %}
{% if row.sort == "input" %}<p id="{{ row.name }}">{{ row.name }} = {{ row.value }}, {{ row.words }}; {{ row.word }} “{{ row.source }}”</p>
{% elif row.sort == "line" %}<p id="{{ row.name }}">{{ row.number }} {{ row.name }} = {{ row.symbols }} = {{ row.figures }} = {{ row.value }}</p>
{% elif row.sort == "train" %}<h2 id="{{ row.name }}">{{ row.name }}, {{ row.direction }}</h2>
{% for machine in row.machines %}<h3>{{ machine.name }} ({{ machine.kind }})</h3>
<table><tr><th>what</th><th>worked</th><th>without friction</th></tr>
{% for value in machine.rows %}<tr><td>{{ value.name }}</td><td>{{ value.real }}</td><td>{{ value.ideal }}</td></tr>
{% endfor %}</table>
{% endfor %}
{% elif row.sort == "check" %}<p class="check">{{ row.title }}: {{ row.demand }} against {{ row.capacity }}: <b>{{ row.verdict }}</b>, uses {{ row.share }}</p>
<table><tr><th>input</th><th>share of its doubt</th></tr>
{% for name, share in row.budget %}<tr><td>{{ name }}</td><td>{{ share }}</td></tr>
{% endfor %}</table>
{% endif %}
{% endfor %}
{% endif %}
{% endfor %}
</body></html>
""")


def stated(text, tag):
    """A quantity with its doubt: limits, so that the standard uncertainty is their half width over the root of three."""
    found = STATED.match(text.strip())
    if not found:
        raise ValueError(f"not a value: {text}")
    unit = (found["unit"] or "").replace("%", "percent").replace("·", "*")
    value = float(found["value"])
    if not found["doubt"]:
        return Quantity(value, unit or "dimensionless")
    return Quantity(ufloat(value, float(found["doubt"]) / math.sqrt(3), tag), unit or "dimensionless")


def plain(quantity):
    """A ratio as a bare number, an angle in radians."""
    return quantity.to("").magnitude


def printed(value):
    if not hasattr(value, "magnitude"):
        value = Quantity(value, "")
    value = value.to_compact() if value.dimensionality and nominal(value) else value
    magnitude, unit = value.magnitude, value.units
    if hasattr(magnitude, "std_dev"):
        value, doubt = magnitude.nominal_value, 2 * magnitude.std_dev
        number = f"({ufloat(value, doubt):.2uP})" if doubt > 0 else f"{value:.4g}"
    else:
        number = f"{magnitude:.4g}"
    return f"{number} {unit:~P}".strip()


def nominal(quantity):
    return getattr(quantity.magnitude, "nominal_value", quantity.magnitude)


def power(base, exponent):
    return umath.pow(base, exponent) if hasattr(base, "std_dev") else base**exponent


def sine(x):
    return umath.sin(x)


def cosine(x):
    return umath.cos(x)


def tackle(fields, load, sense, friction, travel):
    parts = int(plain(fields["parts"]))
    sheaves = parts - 1 if fields.get("rove") == "to advantage" else parts
    loss = plain(fields["sheave loss"]) if friction and "sheave loss" in fields else 0.0
    ratio = power(1 + loss, sense)
    multiples = [power(ratio, at) for at in range(sheaves + 1)]
    end = load / sum(multiples[:parts])
    rope = [end * multiple for multiple in multiples]
    effort = rope[-1]
    odd = fields.get("rove") == "to advantage"
    rows = {"sheaves": sheaves, "end": end, "hauling_part": effort, "running_block": load}
    rows |= {f"rope[{at + 1}]": force for at, force in enumerate(rope)}
    rows |= {f"part[{at + 1}]": force for at, force in enumerate(reversed(rope))}
    rows["standing_block"] = load - effort if odd else load + effort
    rows["trace_difference"] = sum(rope[:parts], start=Quantity(0.0, "N")) - load
    work = sum(((rope[at + 1] - rope[at]) * (at + 1) for at in range(sheaves)), start=Quantity(0.0, "N"))
    rows["friction_work"] = sense * work * travel
    return effort, Quantity(float(parts), ""), rows


def ramp(fields, load, sense, friction, travel):
    theta = plain(fields["angle"])
    mu = plain(fields["friction"]) if friction and "friction" in fields else 0.0
    phi = umath.atan(mu)
    effort = load * (sine(theta + sense * phi) / cosine(sense * phi))
    normal = load * cosine(theta)
    rows = {"theta": Quantity(theta, "radian").to("degree"), "phi": Quantity(phi, "radian").to("degree"), "normal_force": normal}
    rows["surface_friction"] = normal * mu
    rows["holding_effort"] = load * (sine(theta - phi) / cosine(phi))
    rows["distance"] = travel / sine(theta)
    rows["friction_work"] = rows["surface_friction"] * rows["distance"]
    return effort, Quantity(1 / sine(theta), ""), rows


def lever(fields, load, sense, friction, travel):
    effort_arm, load_arm = fields["effort arm"], fields["load arm"]
    moment = load * load_arm
    effort = moment / effort_arm
    first = fields.get("class") == "first"
    pivot = load + effort if first else load - effort
    rows = {"M": moment, "pivot_load": pivot, "moment_difference": (effort * effort_arm - moment)}
    return effort, effort_arm / load_arm, rows


KINDS = {"tackle": tackle, "ramp": ramp, "lever": lever}


def in_a_row(names, machines, load, sense, friction):
    """Machines from the load back to the effort: the rows of each, and what the whole comes to."""
    travel, force, rows, ratio = Quantity(1.0, "m"), load, {}, Quantity(1.0, "")
    for name in reversed(names):
        kind, fields = machines[name]
        effort, velocity, own = KINDS[kind](fields, force, sense, friction, travel)
        own = {"load": force, "effort": effort, "velocity_ratio": velocity, "advantage": force / effort, "load_travel": travel} | own
        own["effort_travel"] = travel * velocity
        own |= works(effort * own["effort_travel"], force * travel, sense)
        rows[name], force, ratio, travel = own, effort, ratio * velocity, own["effort_travel"]
    whole = {"effort": force, "velocity_ratio": ratio, "advantage": load / force, "load": load, "effort_travel": travel}
    whole |= works(force * travel, load * Quantity(1.0, "m"), sense)
    return whole, rows


def works(at_effort, at_load, sense):
    """Lowering, the load gives the work."""
    given, taken = (at_effort, at_load) if sense > 0 else (at_load, at_effort)
    return {"work_in": given, "work_out": taken, "efficiency": taken / given, "loss": given - taken}


class Figures(ast.NodeTransformer):
    """Puts numbers in the place of names, for the line as it is worked."""

    def __init__(self, scope):
        self.scope = scope

    def visit_Call(self, node):
        node.args = [self.visit(argument) for argument in node.args]
        return node

    def visit_Name(self, node):
        return ast.Name(printed(self.scope[node.id]), node.ctx)


def sheet(text):
    """The parts of the page, and every value by name."""
    title = re.search(r"^# (.+)$", text, re.M)[1]
    scope = {"weight": lambda mass: (mass * GRAVITY).to("N")}
    machines, trains, parts, number = {}, {}, [], 0
    for at, piece in enumerate(re.split(r"^```rig\n(.*?)^```$", text, flags=re.M | re.S)):
        if at % 2 == 0:
            parts.append({"prose": markdown.render(piece)})
            continue
        rows, fields, pending = [], None, []
        # Statements with what is indented below them.
        statements = []
        for line in piece.splitlines():
            line = line.split("#")[0].rstrip()
            if not line:
                continue
            if line[0].isspace():
                statements[-1][1].append(line.strip())
            else:
                statements.append((line, []))
        for line, below in statements:
            if line.startswith("sheet "):
                continue
            if found := TAKE.match(line):
                name, words, value, word, source = found.groups()
                scope[name] = stated(value, name)
                rows.append({"sort": "input", "name": name, "words": words, "value": printed(scope[name]), "word": word, "source": source})
            elif line.startswith("machine "):
                name, kind = re.match(r"machine (\w+) = (\w+)$", line).groups()
                fields = {}
                for field in below:
                    key, value = re.match(r"(class|rove|\w+(?: \w+)??) (.+)$", field).groups()
                    key, value = ("sheave loss", field[12:]) if field.startswith("sheave loss") else (key, value)
                    for two in ("effort arm", "load arm"):
                        if field.startswith(two):
                            key, value = two, field[len(two) + 1 :]
                    fields[key] = value if key in ("class", "rove") else stated(value, f"{name}.{key}")
                machines[name] = (kind, fields)
            elif found := TRAIN.match(line):
                name, through, load = found.groups()
                names = through.split(" -> ")
                sense = -1 if "lowering" in below or "holding" in below else 1
                whole, real = in_a_row(names, machines, scope[load], sense, True)
                ideal_whole, ideal = in_a_row(names, machines, scope[load], sense, False)
                scope[name] = SimpleNamespace(**whole)
                trains[name] = (whole, real)
                tables = [{"name": each, "kind": machines[each][0], "rows": table(real[each], ideal[each])} for each in names]
                tables.append({"name": name, "kind": "train", "rows": table(whole, ideal_whole)})
                rows.append({"sort": "train", "name": name, "direction": "raising" if sense > 0 else "lowering", "machines": tables})
            elif found := CHECK.match(line):
                words, demand, capacity = found.groups()
                left, right = worked(demand, scope), worked(capacity, scope)
                rows.append(check(words, left, right))
            elif found := LINE.match(line):
                name, expression = found.groups()
                value, number = worked(expression, scope), number + 1
                tree = Figures(scope).visit(ast.parse(expression.replace("^", "**"), mode="eval"))
                scope[name] = value
                rows.append(
                    {"sort": "line", "number": number, "name": name, "symbols": expression, "figures": ast.unparse(tree), "value": printed(value)}
                )
            else:
                raise ValueError(f"not understood: {line}")
        parts.append({"rows": rows})
    return title, parts, scope, trains


def table(real, ideal):
    return [{"name": name, "real": printed(value), "ideal": printed(ideal[name]) if name in ideal else ""} for name, value in real.items()]


def worked(expression, scope):
    text = expression.replace("^", "**")
    if STATED.match(text):
        return stated(text, text)
    return eval(compile(text, "<sheet>", "eval"), {"__builtins__": {}}, scope)


def check(words, demand, capacity):
    margin = (capacity - demand).to("N").magnitude
    doubt = 2 * getattr(margin, "std_dev", 0.0)
    value = getattr(margin, "nominal_value", margin)
    verdict = ("PASS" if value >= doubt else "PASS WITHIN UNCERTAINTY") if value >= 0 else ("FAIL" if -value > doubt else "FAIL WITHIN UNCERTAINTY")
    parts = margin.error_components() if hasattr(margin, "error_components") else {}
    total = sum(part**2 for part in parts.values()) or 1.0
    budget = sorted(((each.tag, part**2 / total) for each, part in parts.items() if part), key=lambda row: -row[1])
    share = plain(demand / capacity)
    share = getattr(share, "nominal_value", share)
    return {
        "sort": "check", "title": words, "demand": printed(demand), "capacity": printed(capacity), "verdict": verdict,
        "share": f"{share:.2f}", "budget": [(name, f"{100 * part:.0f} %") for name, part in budget],
    }


def page(text):
    title, parts, _, _ = sheet(text)
    return PAGE.render(title=title, parts=parts)


def numbers(text):
    """Every value of lines and trains in SI with its standard uncertainty."""
    _, _, scope, trains = sheet(text)
    named = {name: value for name, value in scope.items() if hasattr(value, "magnitude")}
    for name, (whole, real) in trains.items():
        named |= {f"{name}.{each}": value for each, value in whole.items()}
        named |= {f"{name}.{machine}.{each}": value for machine, rows in real.items() for each, value in rows.items()}
    found = {}
    for name, value in named.items():
        magnitude = Quantity(value, "").to_base_units().magnitude if not hasattr(value, "magnitude") else value.to_base_units().magnitude
        found[name] = [getattr(magnitude, "nominal_value", float(magnitude)) if not hasattr(magnitude, "std_dev") else magnitude.nominal_value,
                       getattr(magnitude, "std_dev", 0.0)]
    return found


def read(path):
    with open(path, encoding="utf-8") as file:
        return file.read()


def main(arguments):
    if arguments[:1] == ["--numbers"]:
        print(json.dumps(numbers(read(arguments[1]))))
        return
    out, *sheets = arguments
    for at, path in enumerate(sheets):
        with open(f"{out}/{at}.html", "w", encoding="utf-8") as file:
            file.write(page(read(path)))


main(sys.argv[1:])
