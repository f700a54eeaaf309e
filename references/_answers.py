"""Writes answers to a file of tests/published, or solves again and compares with what is written there."""

import argparse
import json
import pathlib
import platform

import numpy
import scipy

FOLDER = pathlib.Path(__file__).resolve().parent.parent / "tests" / "published"


def libraries(**others):
    """Names and versions of what the answers were made with."""
    return {"python": platform.python_version(), "scipy": scipy.__version__, "numpy": numpy.__version__, **others}


def differences(ours, theirs, relative, path=""):
    """Places where two trees differ by more than `relative` (of 1 for small numbers)."""
    if isinstance(ours, dict) and isinstance(theirs, dict):
        for key in sorted(set(ours) | set(theirs)):
            yield from differences(ours.get(key), theirs.get(key), relative, f"{path}.{key}")
    elif isinstance(ours, list) and isinstance(theirs, list) and len(ours) == len(theirs):
        for index, (a, b) in enumerate(zip(ours, theirs)):
            yield from differences(a, b, relative, f"{path}[{index}]")
    elif isinstance(ours, (int, float)) and isinstance(theirs, (int, float)):
        # Said so that not-a-number, which compares with nothing, counts as a difference.
        if not abs(ours - theirs) <= relative * max(1.0, abs(ours), abs(theirs)):
            yield f"{path}: {ours} now, {theirs} in the file"
    elif ours != theirs:
        yield f"{path}: {ours!r} now, {theirs!r} in the file"


def write_or_check(what, build, name, noun, relative):
    """Runs `build` and, as the command line says, writes `name` or compares with it; returns the exit status."""
    parser = argparse.ArgumentParser(description=what.splitlines()[0])
    action = parser.add_mutually_exclusive_group(required=True)
    action.add_argument("--write", action="store_true")
    action.add_argument("--check", action="store_true")
    arguments = parser.parse_args()
    built = build()
    output = FOLDER / name
    if arguments.write:
        output.write_text(json.dumps(built, indent=1, allow_nan=False) + "\n")
        return 0
    kept = json.loads(output.read_text())
    found = list(differences(built["cases"], kept["cases"], relative, "cases"))
    print("\n".join(found) if found else f"{len(kept['cases'])} {noun} agree")
    return 1 if found else 0
