"""Multi-leg hangs solved by general-purpose libraries, as a reference for crates/statics.

The rigs come from a fixed seed. Each is solved twice over: scipy minimises the energy from the drawn pose
(rotation vectors, gradient by differences), which picks the stable pose, and mpmath then finds the root of
the force and moment balance, written down separately, to thirty digits. Neither knows anything of lines.

    python references/hangs.py --write    writes tests/published/hangs-reference.json
    python references/hangs.py --check    solves again and compares to 1e-9 relative

Needs references/requirements.txt.
"""

import math
import random
import sys

import mpmath
import numpy
from scipy.optimize import minimize
from scipy.spatial.transform import Rotation

from _answers import libraries, write_or_check
from _turns import cross, rotate_mpmath

SEED = 1804
CASES = 16


def draw(number, dice):
    """One rig: a load on 3 to 10 lines; every other one hangs partly from a junction; some legs are slack."""
    around = lambda radius, angle, z: [radius * math.cos(angle), radius * math.sin(angle), z]
    legs = 3 + number % 6
    with_junction = number % 2 == 1
    direct = legs - (3 if with_junction and legs >= 5 else 2 if with_junction else 0)
    trim = [dice.uniform(-0.3, 0.3), dice.uniform(-0.3, 0.3), -dice.uniform(3.5, 5.0)]
    load = {
        "weight_n": round(dice.uniform(800, 9000), 1),
        "centre_m": [dice.uniform(-0.2, 0.2), dice.uniform(-0.2, 0.2), -dice.uniform(0.2, 0.6)],
        "trim_at_m": trim,
    }
    points, picks, junctions, lines = [], [], [], []

    def leg(upper, upper_at, pick):
        picks.append(pick)
        at = [trim[i] + pick[i] for i in range(3)]
        length = math.dist(upper_at, at) + dice.uniform(-0.015, 0.015)
        if direct >= 4 and len(lines) == 1 and number % 3 != 2:
            length += 0.35  # a leg that must hang slack
        lines.append(make(upper, ["pick", len(picks) - 1], length))

    def make(upper, lower, length):
        stiffness = 10 ** dice.uniform(5.3, 6.7)
        return {"from": upper, "to": lower, "stiffness_n": stiffness, "unloaded_length_m": length}

    for index in range(direct):
        angle = 2 * math.pi * (index + dice.uniform(-0.2, 0.2)) / max(direct, 3)
        point = around(dice.uniform(1.2, 2.2), angle, dice.uniform(-0.3, 0.3))
        points.append(point)
        leg(["point", len(points) - 1], point, around(dice.uniform(0.8, 1.4), angle, dice.uniform(0, 0.2)))
    if with_junction:
        angle = 2 * math.pi * 2 / 3 if direct < 3 else 1.0
        near = around(0.9, angle, -1.6)
        junctions.append({"near_m": near, "weight_n": round(dice.uniform(5, 60), 2)})
        for side in (-0.5, 0.5):
            point = around(1.6, angle + side, 0.2)
            points.append(point)
            length = math.dist(point, near) * dice.uniform(0.99, 1.0)
            lines.append(make(["point", len(points) - 1], ["junction", 0], length))
        for step in range(legs - direct):
            spread = angle + 0.5 * (step - 0.5 * (legs - direct - 1))
            leg(["junction", 0], near, around(dice.uniform(0.9, 1.3), spread, 0.1))
    return {"name": f"hang {number + 1}", "load": load, "points": points, "picks": picks,
            "junctions": junctions, "lines": lines}


def places(rig, unknowns, rotate):
    """Places of points, junctions and picks; unknowns are centre, rotation vector, junctions."""
    centre, turn = unknowns[0:3], unknowns[3:6]
    arms = [[pick[i] - rig["load"]["centre_m"][i] for i in range(3)] for pick in rig["picks"]]
    turned = rotate(turn, arms)
    return {
        "point": rig["points"],
        "junction": [unknowns[6 + 3 * i: 9 + 3 * i] for i in range(len(rig["junctions"]))],
        "pick": [[centre[i] + arm[i] for i in range(3)] for arm in turned],
    }, turned


def rotate_scipy(turn, arms):
    return Rotation.from_rotvec(turn).apply(arms)


def energy(unknowns, rig):
    at, _ = places(rig, unknowns, rotate_scipy)
    total = rig["load"]["weight_n"] * unknowns[2]
    for junction, place in zip(rig["junctions"], at["junction"]):
        total += junction["weight_n"] * place[2]
    for line in rig["lines"]:
        ends = [numpy.asarray(at[kind][index]) for kind, index in (line["from"], line["to"])]
        stretch = max(0.0, numpy.linalg.norm(ends[1] - ends[0]) - line["unloaded_length_m"])
        total += 0.5 * line["stiffness_n"] / line["unloaded_length_m"] * stretch**2
    return total


def tensions_and_balance(rig, unknowns):
    """Tensions, and sums of force on load and junctions and of moment about the load's centre."""
    at, arms = places(rig, unknowns, rotate_mpmath)
    force = [mpmath.mpf(0), mpmath.mpf(0), -mpmath.mpf(rig["load"]["weight_n"])]
    moment = [mpmath.mpf(0)] * 3
    rings = [[mpmath.mpf(0), mpmath.mpf(0), -mpmath.mpf(j["weight_n"])] for j in rig["junctions"]]
    tensions = []
    for line in rig["lines"]:
        (kind_a, a), (kind_b, b) = line["from"], line["to"]
        along = [mpmath.mpf(x) - mpmath.mpf(y) for x, y in zip(at[kind_b][b], at[kind_a][a])]
        length = mpmath.sqrt(sum(x * x for x in along))
        unloaded = mpmath.mpf(line["unloaded_length_m"])
        tension = max(mpmath.mpf(0), line["stiffness_n"] * (length - unloaded) / unloaded)
        tensions.append(tension)
        for kind, index, sign in ((kind_a, a, 1), (kind_b, b, -1)):
            pull = [sign * tension * x / length for x in along]
            if kind == "junction":
                rings[index] = [x + y for x, y in zip(rings[index], pull)]
            elif kind == "pick":
                force = [x + y for x, y in zip(force, pull)]
                moment = [x + y for x, y in zip(moment, cross(arms[index], pull))]
    return tensions, force + moment + [x for ring in rings for x in ring]


def solve(rig):
    load = rig["load"]
    start = [load["trim_at_m"][i] + load["centre_m"][i] for i in range(3)] + [0.0] * 3
    start += [x for junction in rig["junctions"] for x in junction["near_m"]]
    pose = numpy.array(start)
    for method in ("Nelder-Mead", "BFGS", "Nelder-Mead", "BFGS"):
        options = {"maxiter": 40000, "maxfev": 40000} if method == "Nelder-Mead" else {"gtol": 1e-6}
        pose = minimize(energy, pose, args=(rig,), method=method, options=options).x
    mpmath.mp.dps = 30
    root = mpmath.findroot(
        lambda *x: tensions_and_balance(rig, list(x))[1], tuple(mpmath.mpf(x) for x in pose), tol=1e-36,
        maxsteps=60)
    found = [root[i] for i in range(len(pose))]
    moved = max(abs(float(found[i]) - pose[i]) for i in range(len(pose)))
    assert moved < 2e-2, f"{rig['name']}: the root lies {moved} from the lowest energy"
    assert energy(numpy.array([float(x) for x in found]), rig) <= energy(pose, rig) + 1e-6
    tensions, _ = tensions_and_balance(rig, found)
    # Column i of the rotation matrix is where body axis i points.
    axes = rotate_mpmath(found[3:6], [[1, 0, 0], [0, 1, 0], [0, 0, 1]])
    number = lambda x: float(mpmath.nstr(x, 17))
    return {
        "centre_m": [number(x) for x in found[0:3]],
        "axes": [[number(x) for x in axis] for axis in axes],
        "junctions_m": [[number(x) for x in found[6 + 3 * i: 9 + 3 * i]] for i in range(len(rig["junctions"]))],
        "tensions_n": [number(x) for x in tensions],
    }


def build():
    dice = random.Random(SEED)
    cases = []
    for number in range(CASES):
        rig = draw(number, dice)
        rig["answer"] = solve(rig)
        cases.append(rig)
    return {
        "what": "Multi-leg hangs. Lines: straight, elastic, tension only, weightless; SI, z up. A leg's "
                "from is a point or junction, its to a junction or a pick (body axes, load's own origin).",
        "made_by": "references/hangs.py",
        "libraries": libraries(mpmath=mpmath.__version__),
        "seed": SEED,
        "cases": cases,
    }


if __name__ == "__main__":
    sys.exit(write_or_check(__doc__, build, "hangs-reference.json", "hangs", 1e-9))
