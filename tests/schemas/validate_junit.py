"""Holds `parbuckle check --format junit` to the XML Schema of JUnit reports, with a general-purpose validator (xmlschema).

Usage: validate_junit.py [PROGRAM]; the program is target/debug/parbuckle unless named.
"""

import os
import pathlib
import subprocess
import sys
import tempfile

import xmlschema

HERE = pathlib.Path(__file__).resolve().parent
PROJECT = HERE.parent.parent

AWKWARD = """# Awkward
 
```rig
take pull = 98 N ± 3 N from "bal\u0001ance <&>"
gear hook "a <hook> & 'eye'"
    breaking 5 kN from "tag"
check "near ]]> <&> it": pull <= 100 N
check "over it": pull <= 90 N
check "hook": pull <= hook.rated
lost = nothing * 2
```
"""


def main():
    target = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", PROJECT / "target"))
    program = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else target / "debug" / "parbuckle").resolve()
    schema = xmlschema.XMLSchema(HERE / "junit-10.xsd")
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        (folder / "awkward & wide.md").write_text(AWKWARD, encoding="utf-8")
        (folder / "latin.md").write_bytes(b"# Stra\xdfe\n\n```rig\ntake a = 1 m from \"tape\"\n```\n")
        (folder / "plain.md").write_text((PROJECT / "src/faces/starter.md").read_text(encoding="utf-8"), encoding="utf-8")
        demanding = folder / "demanding"
        demanding.mkdir()
        (demanding / "awkward.md").write_text(AWKWARD + '\n```rig\nassume guess = 2 N because "<guess>"\n```\n', encoding="utf-8")
        demands = 'not_evaluated = "refuse"\nopen_assumptions = "refuse"\nsign_off = "approved"\n'
        (demanding / "parbuckle.toml").write_text("[demands]\n" + demands, encoding="utf-8")
        runs = [(folder, "."), (PROJECT, "worked-examples")]
        cases = 0
        for where, path in runs:
            command = [program, "check", path, "--format", "junit"]
            report = subprocess.run(command, cwd=where, capture_output=True, check=False).stdout.decode("utf-8")
            schema.validate(report)
            found = schema.to_dict(report)
            cases += int(found["@tests"])
    # The schema is known to refuse: a case without its name.
    assert not schema.is_valid('<testsuites><testsuite name="a" tests="1" failures="0" errors="0"><testcase/></testsuite></testsuites>')
    assert cases > 20, cases
    print(f"{cases} cases of JUnit reports keep to their schema")


main()
