"""Sagging lines and bending pipes solved by general-purpose libraries, as a reference for crates/statics.

The structures come from fixed seeds. Rings and rigid loads on heavy lines are solved by MoorPy and by mpmath
(_catenaries.py), pipes by OpenSees and by scipy from the differential equations (_pipes.py). Each pair knows
nothing of the other's formulas, and each entry says how far the two agree. The same ways of solving are first
held against printed problems (_published.py).

    python references/structures.py --write    writes tests/published/structures-reference.json
    python references/structures.py --check    solves again and compares to 1e-7 relative

Needs references/requirements.txt.
"""

import random
import sys
from importlib.metadata import version

import _catenaries
import _pipes
import _published
from _answers import libraries, write_or_check

SEED = {"catenaries": 1805, "pipes": 1806}
# Two ways of solving must agree to this share of the greatest force or moment, and in metres.
AGREED = 1e-8

LAYOUT = {
    "line": "from and to: a point, junction, pick (of a load) or pipe_pick. Tension only, no stiffness in bending, "
            "EA constant; with weight_n_per_m (per unloaded metre) 0 straight, else an elastic catenary.",
    "junction": "A ring without size; force_n is what hangs on it, near_m where to look for it.",
    "load": "Rigid; trim_at_m is where its own origin is drawn, axes along the world's; centre_m and picks in its "
            "own axes.",
    "pipe": "Straight from start_m to end_m as drawn and when unloaded; stiffnesses the same in all planes; bends "
            "and stretches by any amount, does not shear; along_m, from_m, to_m are unloaded metres from its start. "
            "A hinge carries force but no moment. Forces keep their direction.",
    "answer": "pull_on_from_n is what the line does to what is at its from. sag_m is the greatest drop below the "
              "chord, straight down; stretched_length_m the whole length of a line (a slack weightless one has its "
              "unloaded length). axes[i] is where body axis i points. moment_nm of a pipe is what the part further "
              "from its start does to the part nearer: for a level pipe along x that sags, -y. Shear is the force "
              "across the bent axis; tension and compression along it. mid_bays lie half-way along the pipe "
              "between neighbouring picks, off_chord_m from the straight line between these.",
    "agreement": "Greatest difference between the two ways: of forces by the greatest tension, of places in metres, "
                 "of moments by the greatest moment; shape_m of sags and lengths against points drawn along "
                 "MoorPy's line. OpenSees has elements; coarse and fine are what each number of them leaves, limit "
                 "what remains when both are drawn on to elements of no length.",
}


def solve(solver, case):
    """Solves, and refuses what the two ways do not agree on."""
    solved = solver.solve(case)
    agreement = solved["agreement"]
    last = agreement.get("limit", agreement)
    gaps = {key: value for key, value in last.items() if key not in ("with", "shape_m")}
    assert all(gap <= AGREED for gap in gaps.values()), f"{case['name']}: {agreement}"
    # Points are drawn a two-thousandth of the line apart, so the deepest is missed by some millionths.
    assert agreement.get("shape_m", 0.0) < 1e-5, f"{case['name']}: {agreement}"
    return solved


def tidy(tree):
    """Without what rounding leaves of nothing."""
    if isinstance(tree, dict):
        return {key: tidy(value) for key, value in tree.items()}
    if isinstance(tree, list):
        return [tidy(value) for value in tree]
    return 0.0 if isinstance(tree, float) and abs(tree) < 1e-13 else tree


def build():
    _published.check()
    dice = random.Random(SEED["catenaries"])
    cases = [solve(_catenaries, case) for case in _catenaries.draw(dice)]
    dice = random.Random(SEED["pipes"])
    cases += [solve(_pipes, case) for case in _pipes.draw(dice) + _pipes.draw_on_catenaries(dice)]
    return {
        "what": "Structures of heavy lines that sag and pipes that bend; SI, z up.",
        "layout": LAYOUT,
        "made_by": "references/structures.py",
        "libraries": libraries(moorpy=version("MoorPy"), mpmath=version("mpmath"), openseespy=version("openseespy")),
        "seed": SEED,
        "cases": [{key: value if key == "agreement" else tidy(value) for key, value in case.items()}
                  for case in cases],
    }


if __name__ == "__main__":
    sys.exit(write_or_check(__doc__, build, "structures-reference.json", "structures", 1e-7))
