"""Rings and rigid loads on heavy, elastic, sagging lines: drawn from a seed, and solved twice over.

MoorPy solves each line by its own catenary and finds the pose by its own search; scipy tightens that pose on
MoorPy's forces. Apart from that, mpmath finds the root of all lines' equations and all balances together, to
thirty digits. The answers are mpmath's.
"""

import contextlib
import io
import math

import mpmath
import moorpy
import numpy
import scipy.optimize
from scipy.spatial.transform import Rotation

import _lines
from _turns import cross, rotate_mpmath

# MoorPy knows masses; weights are ours, so any constant would do.
GRAVITY = 9.80665
# Places along a line at which MoorPy is asked for its shape.
NODES = 2000


def heavy(dice, start, end, upper, lower, longer):
    """A line between drawn ends, `longer` than their distance by that share."""
    return {
        "from": upper, "to": lower,
        "stiffness_n": round(10 ** dice.uniform(5.31, 6.69), 1),
        "unloaded_length_m": round(math.dist(start, end) * (1 + longer), 6),
        "weight_n_per_m": round(10 ** dice.uniform(0.05, 1.75), 3),
    }


def blank(name):
    return {"name": name, "points": [], "junctions": [], "loads": [], "pipes": [], "picks": [],
            "pipe_picks": [], "lines": []}


def rounded(values):
    return [round(x, 4) for x in values]


def span(dice, name, reach, rise, rings, longer):
    """A span from point to point with loads hung along it."""
    case = blank(name)
    case["points"] = [[0.0, 0.0, 0.0], rounded([reach, dice.uniform(-0.1, 0.1) * reach, rise])]
    shares = sorted(dice.uniform(0.8, 1.2) * (i + 1) / (rings + 1) for i in range(rings))
    sag = 0.1 * reach
    places = [rounded([s * reach, s * case["points"][1][1], s * rise - 4 * sag * s * (1 - s)]) for s in shares]
    for place in places:
        case["junctions"].append({"near_m": place, "force_n": [0.0, 0.0, -round(dice.uniform(100, 3000), 1)]})
    stops = [("point", 0, case["points"][0])]
    stops += [("junction", i, place) for i, place in enumerate(places)] + [("point", 1, case["points"][1])]
    kind = None
    for (a, i, start), (b, j, end) in zip(stops, stops[1:]):
        line = heavy(dice, start, end, [a, i], [b, j], longer)
        # One rope from end to end.
        kind = kind or line
        line["stiffness_n"], line["weight_n_per_m"] = kind["stiffness_n"], kind["weight_n_per_m"]
        case["lines"].append(line)
    return case


def rings(dice, name, reach, legs, longer, least=200, most=4000):
    """Rings held by lines to points around and to each other; `legs` lists the lines of each ring."""
    case = blank(name)
    centres = []
    for index, count in enumerate(legs):
        angle = 2 * math.pi * index / len(legs)
        spread = 0.0 if len(legs) == 1 else 0.35 * reach
        centre = rounded([spread * math.cos(angle), spread * math.sin(angle), -dice.uniform(0.15, 0.4) * reach])
        centres.append(centre)
        case["junctions"].append({"near_m": centre, "force_n": rounded(
            [dice.uniform(-0.3, 0.3) * least, dice.uniform(-0.3, 0.3) * least, -dice.uniform(least, most)])})
        for leg in range(count):
            # Of several rings each keeps to its own side.
            width = 2 * math.pi / count if len(legs) == 1 else 1.2
            around = angle + width * (leg - 0.5 * (count - 1)) + dice.uniform(-0.2, 0.2)
            top = rounded([reach * math.cos(around), reach * math.sin(around), dice.uniform(-0.05, 0.05) * reach])
            case["points"].append(top)
            case["lines"].append(heavy(dice, top, centre, ["point", len(case["points"]) - 1],
                                       ["junction", index], dice.choice(longer)))
    for index in range(1, len(legs)):
        case["lines"].append(heavy(dice, centres[index - 1], centres[index], ["junction", index - 1],
                                   ["junction", index], dice.choice(longer)))
    return case


def load(dice, name, reach, legs, longer):
    """A rigid load on lines to points around."""
    case = blank(name)
    trim = rounded([dice.uniform(-0.2, 0.2), dice.uniform(-0.2, 0.2), -dice.uniform(0.3, 0.6) * reach - 1.5])
    case["loads"] = [{"weight_n": round(dice.uniform(800, 9000), 1), "trim_at_m": trim,
                      "centre_m": rounded([dice.uniform(-0.2, 0.2), dice.uniform(-0.2, 0.2), -0.5])}]
    for leg in range(legs):
        angle = 2 * math.pi * leg / legs + dice.uniform(-0.2, 0.2)
        pick = rounded([math.cos(angle) * dice.uniform(0.8, 1.2), math.sin(angle) * dice.uniform(0.8, 1.2), 0.2])
        top = rounded([reach * math.cos(angle), reach * math.sin(angle), dice.uniform(-0.05, 0.05) * reach])
        case["points"].append(top)
        case["picks"].append({"load": 0, "at_m": pick})
        at = [a + b for a, b in zip(trim, pick)]
        case["lines"].append(heavy(dice, top, at, ["point", leg], ["pick", leg], longer[leg % len(longer)]))
    return case


def draw(dice):
    taut, slack, deep = -0.0005, 0.02, 0.35
    return [
        rings(dice, "ring on two taut lines", 6.0, [2], [taut]),
        rings(dice, "ring on three lines, one deep", 18.0, [3], [slack, deep]),
        rings(dice, "two rings on five lines", 9.0, [2, 2], [taut, slack]),
        rings(dice, "three rings on deep lines", 25.0, [1, 2, 1], [slack, deep], 20, 300),
        span(dice, "level span with two loads", 12.0, 0.0, 2, 0.0),
        span(dice, "steep span with three loads", 3.6, 1.4, 3, 0.01),
        span(dice, "long span with three loads", 60.0, -7.0, 3, 0.004),
        load(dice, "load on two lines", 2.5, 2, [slack]),
        load(dice, "load on three lines, one deep", 8.0, 3, [taut, slack, deep]),
        load(dice, "load on four lines", 4.0, 4, [slack, taut]),
        load(dice, "load on five long lines", 22.0, 5, [slack, taut, deep]),
    ]


def moorpy_system(case):
    """The case in MoorPy's terms; no water, no ground in reach."""
    system = moorpy.System(depth=1e4, rho=0.0, g=GRAVITY)
    for body in case["loads"]:
        # The weight lies at `centre_m`; the origin is placed as drawn.
        system.addBody(0, [*body["trim_at_m"], 0.0, 0.0, 0.0], m=body["weight_n"] / GRAVITY, rCG=body["centre_m"])
    numbers = {}
    for index, at in enumerate(case["points"]):
        numbers["point", index] = system.addPoint(1, at).number
    for index, junction in enumerate(case["junctions"]):
        point = system.addPoint(0, junction["near_m"], fExt=numpy.array(junction["force_n"]))
        numbers["junction", index] = point.number
    for index, pick in enumerate(case["picks"]):
        numbers["pick", index] = system.addPoint(1, pick["at_m"], body=pick["load"] + 1).number
    for index, line in enumerate(case["lines"]):
        kind = dict(name=str(index), d_vol=0.0, m=line["weight_n_per_m"] / GRAVITY, EA=line["stiffness_n"],
                    w=line["weight_n_per_m"])
        ends = [numbers[tuple(line[end])] for end in ("from", "to")]
        system.addLine(line["unloaded_length_m"], kind, nSegs=NODES, pointA=ends[0], pointB=ends[1])
    with contextlib.redirect_stdout(io.StringIO()):
        system.initialize()
    return system


def solve_moorpy(case):
    """MoorPy's pose, and pulls on the lines' ends."""
    system = moorpy_system(case)
    with contextlib.redirect_stdout(io.StringIO()):
        system.solveEquilibrium(tol=1e-4)
        start, _ = system.getPositions(dXvals=[1.0, 1.0])
        # MoorPy takes a distance for its tolerance; with stiff lines forces then still differ by newtons.
        tight = scipy.optimize.root(lambda x: system.mooringEq(x, tol=1e-11), start, tol=1e-13)
        system.mooringEq(tight.x, tol=1e-12, profiles=1)
    stiffness = system.getSystemStiffnessA()
    return {
        "junctions_m": [list(map(float, p.r)) for p in system.pointList if p.type == 0],
        "loads": [{"origin_m": body.r6[:3], "turn": Rotation.from_matrix(body.R)} for body in system.bodyList],
        "pulls_n": [(line.fA, line.fB) for line in system.lineList],
        "shapes": [shape(line) for line in system.lineList],
        "softest": float(numpy.linalg.eigvalsh((stiffness + stiffness.T) / 2)[0]),
        "residual_n": float(numpy.abs(tight.fun).max()),
    }


def shape(line):
    """Greatest sag below the chord and stretched length, measured along MoorPy's drawn line."""
    places = numpy.column_stack([line.Xs, line.Ys, line.Zs])
    chord = places[-1] - places[0]
    along = (places - places[0]) @ (chord * [1, 1, 0]) / (chord[0] ** 2 + chord[1] ** 2)
    below = places[0][2] + along * chord[2] - places[:, 2]
    return below.max(), numpy.linalg.norm(numpy.diff(places, axis=0), axis=1).sum()


def ends(case, junctions, bodies, rotate):
    """Where lines may end; bodies are (centre, rotation vector). Also the turned arms of picks."""
    at = {("point", i): place for i, place in enumerate(case["points"])}
    at.update({("junction", i): place for i, place in enumerate(junctions)})
    arms = []
    for index, pick in enumerate(case["picks"]):
        centre, turn = bodies[pick["load"]]
        offset = [a - b for a, b in zip(pick["at_m"], case["loads"][pick["load"]]["centre_m"])]
        arm = rotate(turn, [offset])[0]
        arms.append(arm)
        at["pick", index] = [c + a for c, a in zip(centre, arm)]
    return at, arms


def split(case, unknowns):
    """Unknowns: inner force at the first end of each line, centres and turns of loads, places of junctions."""
    take = lambda start, count: [unknowns[start + 3 * i: start + 3 * i + 3] for i in range(count)]
    lines, loads = len(case["lines"]), len(case["loads"])
    poses = take(3 * lines, 2 * loads)
    return (take(0, lines), [(poses[2 * i], poses[2 * i + 1]) for i in range(loads)],
            take(3 * lines + 6 * loads, len(case["junctions"])))


def equations(case, unknowns):
    """What must vanish: each line reaches from end to end; forces and moments balance."""
    forces, bodies, junctions = split(case, unknowns)
    at, arms = ends(case, junctions, bodies, rotate_mpmath)
    weigh = lambda body: [mpmath.mpf(0), mpmath.mpf(0), -mpmath.mpf(body["weight_n"])]
    on_rings = [[mpmath.mpf(x) for x in junction["force_n"]] for junction in case["junctions"]]
    on_loads = [weigh(body) for body in case["loads"]]
    moments = [[mpmath.mpf(0)] * 3 for _ in case["loads"]]
    gaps = []
    for line, force in zip(case["lines"], forces):
        stiffness, length, weight = [mpmath.mpf(line[key]) for key in
                                     ("stiffness_n", "unloaded_length_m", "weight_n_per_m")]
        level = mpmath.hypot(force[0], force[1])
        far = force[2] + weight * length
        stretch = length / stiffness + (mpmath.asinh(far / level) - mpmath.asinh(force[2] / level)) / weight
        up = ((force[2] + weight * length / 2) * length / stiffness
              + (mpmath.hypot(level, far) - mpmath.hypot(level, force[2])) / weight)
        reach = [force[0] * stretch, force[1] * stretch, up]
        first, second = at[tuple(line["from"])], at[tuple(line["to"])]
        # In newtons, so that one tolerance serves all.
        gaps += [(b - a - r) * stiffness / length for a, b, r in zip(first, second, reach)]
        for (kind, index), pull in ((line["from"], force), (line["to"], [-force[0], -force[1], -far])):
            if kind == "junction":
                on_rings[index] = [a + b for a, b in zip(on_rings[index], pull)]
            elif kind == "pick":
                body = case["picks"][index]["load"]
                on_loads[body] = [a + b for a, b in zip(on_loads[body], pull)]
                moments[body] = [a + b for a, b in zip(moments[body], cross(arms[index], pull))]
    return gaps + [x for three in on_loads + moments + on_rings for x in three]


def number(x):
    return float(mpmath.nstr(x, 17))


def solve(case):
    """The answer, and how far MoorPy's differs from it."""
    near = solve_moorpy(case)
    assert near["softest"] > 0, f"{case['name']}: MoorPy's pose is not stable"
    start = [x for from_pull, _ in near["pulls_n"] for x in from_pull]
    for body, pose in zip(case["loads"], near["loads"]):
        start += [*(pose["origin_m"] + pose["turn"].apply(body["centre_m"])), *pose["turn"].as_rotvec()]
    start += [x for place in near["junctions_m"] for x in place]
    mpmath.mp.dps = 30
    root = mpmath.findroot(lambda *x: equations(case, list(x)), tuple(mpmath.mpf(float(x)) for x in start),
                           tol=1e-30, maxsteps=60)
    unknowns = [root[i] for i in range(len(start))]
    forces, bodies, junctions = split(case, unknowns)
    at, _ = ends(case, junctions, bodies, rotate_mpmath)
    lines, on_points = [], [[0.0, 0.0, 0.0] for _ in case["points"]]
    for line, force in zip(case["lines"], forces):
        apart = [number(b - a) for a, b in zip(at[tuple(line["from"])], at[tuple(line["to"])])]
        far = [force[0], force[1], force[2] + mpmath.mpf(line["weight_n_per_m"]) * line["unloaded_length_m"]]
        lines.append(_lines.answer(line, [number(x) for x in force], [number(x) for x in far], apart))
    sum_on_points(case, lines, on_points)
    axes = [rotate_mpmath(turn, [[1, 0, 0], [0, 1, 0], [0, 0, 1]]) for _, turn in bodies]
    case["answer"] = {
        "junctions_m": [[number(x) for x in place] for place in junctions],
        "loads": [{"centre_m": [number(x) for x in centre], "axes": [[number(x) for x in a] for a in axis]}
                  for (centre, _), axis in zip(bodies, axes)],
        "pipes": [],
        "lines": lines,
        "force_on_points_n": on_points,
    }
    case["agreement"] = agreement(case, near)
    return case


def sum_on_points(case, lines, on_points):
    for line, found in zip(case["lines"], lines):
        for end, key in (("from", "pull_on_from_n"), ("to", "pull_on_to_n")):
            kind, index = line[end]
            if kind == "point":
                on_points[index] = [a + b for a, b in zip(on_points[index], found[key])]


def agreement(case, near):
    """Greatest difference of a force, relative to the greatest tension, and of a place, in metres."""
    found = case["answer"]
    greatest = max(max(line["tension_at_from_n"], line["tension_at_to_n"]) for line in found["lines"])
    forces = max(numpy.abs(numpy.subtract(ours[key], theirs)).max()
                 for ours, pulls in zip(found["lines"], near["pulls_n"])
                 for key, theirs in zip(("pull_on_from_n", "pull_on_to_n"), pulls))
    places = [numpy.abs(numpy.subtract(a, b)).max() for a, b in zip(found["junctions_m"], near["junctions_m"])]
    for ours, body, theirs in zip(found["loads"], case["loads"], near["loads"]):
        places.append(numpy.abs(theirs["origin_m"] + theirs["turn"].apply(body["centre_m"])
                                - ours["centre_m"]).max())
        places.append(numpy.abs(theirs["turn"].as_matrix().T - ours["axes"]).max())
    shapes = max(abs(a - b) for ours, theirs in zip(found["lines"], near["shapes"])
                 for a, b in zip((ours["sag_m"], ours["stretched_length_m"]), theirs))
    gaps = {"force": forces / greatest, "place_m": max(places), "shape_m": shapes}
    return {"with": "MoorPy", **{key: float(f"{gap:.1e}") for key, gap in gaps.items()}}
