#!/usr/bin/env python3
"""Lists every check of built sheets, the one with the least reserve first. Python's standard library is enough.

    parbuckle build worked-examples --out out
    python3 worked-examples/readers/reserves.py out

    parbuckle show worked-examples/boat-on-a-slip.md --table checks > checks.csv
    python3 worked-examples/readers/reserves.py checks.csv

A folder stands for every .json below it that is a sheet. The reserve is what the capacity has over the demand, with the
expanded uncertainty (k = 2) of that difference.
"""

import csv
import json
import pathlib
import sys


def of_json(path):
    """The checks of a sheet, from the JSON that `parbuckle build` writes."""
    sheet = json.loads(path.read_text(encoding="utf-8"))
    if not isinstance(sheet, dict) or "checks" not in sheet or "schema" not in sheet:
        return
    for check in sheet["checks"]:
        margin = check["margin"]
        yield {
            "sheet": sheet["path"],
            "title": check["title"],
            "use": check["utilisation"]["value"] if check["utilisation"] else None,
            "margin": (margin["value"], margin["standard_uncertainty"], margin["unit"]) if margin else None,
            "verdict": check["verdict"],
        }


def of_csv(path):
    """The checks of a sheet, from the table that `parbuckle show --table checks` prints."""
    with path.open(encoding="utf-8", newline="") as table:
        for row in csv.DictReader(table):
            margin = row["margin"]
            yield {
                "sheet": path.name,
                "title": row["title"],
                "use": float(row["utilisation"]) if row["utilisation"] else None,
                "margin": (float(margin), float(row["margin standard uncertainty"]), row["margin unit"]) if margin else None,
                "verdict": row["verdict"],
            }


def checks_of(place):
    if place.is_dir():
        for path in sorted(place.rglob("*.json")):
            yield from of_json(path)
    elif place.suffix == ".json":
        yield from of_json(place)
    else:
        yield from of_csv(place)


def main(places):
    checks = [check for place in places for check in checks_of(pathlib.Path(place))]
    # A check that was not evaluated is no reserve: it stands first.
    checks.sort(key=lambda check: -check["use"] if check["use"] is not None else float("-inf"))
    for check in checks:
        use = "-" if check["use"] is None else f"{100 * check['use']:.1f} %"
        if check["margin"] is None:
            reserve = "-"
        else:
            value, doubt, unit = check["margin"]
            reserve = f"{value:.4g} ± {2 * doubt:.2g} {unit}".rstrip()
        print(f"{use:>8}  {reserve:>24}  {check['verdict']:<24}  {check['sheet']}: {check['title']}")


if __name__ == "__main__":
    sys.stdout.reconfigure(encoding="utf-8")
    main(sys.argv[1:] or sys.exit(__doc__))
