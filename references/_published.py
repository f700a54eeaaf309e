"""Holds the ways of solving against printed problems of tests/published/mechanics/cases.toml."""

import math
import tomllib

import numpy

import _catenaries
import _lines
import _pipes
from _answers import FOLDER


def load():
    text = (FOLDER / "mechanics" / "cases.toml").read_text()
    return {case["id"]: case for case in tomllib.loads(text)["case"]}


def near(got, wanted, tolerance, what):
    gap = numpy.abs(numpy.subtract(got, wanted)).max()
    assert gap <= tolerance, f"{what}: {got} instead of {wanted}"


def holds(case, name, got, at_least=0.0):
    """Whether `got` is what is expected under `name`, within its own tolerance or one not below `at_least`."""
    found = [expect for expect in case["expect"] if expect["name"] == name]
    assert found, f"{case['id']} has no {name}"
    for expect in found:
        tolerance = expect.get("tol_abs", 0.0) + expect.get("tol_rel", 0.0) * numpy.abs(expect["value"]).max()
        near(got, expect["value"], max(tolerance, at_least), f"{case['id']}, {name}")


def line(stiffness, length, weight):
    return {"stiffness_n": stiffness, "unloaded_length_m": length, "weight_n_per_m": weight}


def ring_in_a_heavy_span(case):
    given = case["inputs"]
    places, tensions = [], []
    for force in (0.0, given["point_load_N"]):
        rig = _catenaries.blank("P01")
        rig["points"] = [given["left"], given["right"]]
        rig["junctions"] = [{"near_m": [125.0, 0.0, -29.0], "force_n": [0.0, 0.0, -force]}]
        for index, key in enumerate(("unstressed_left_m", "unstressed_right_m")):
            ends = {"from": ["point", index], "to": ["junction", 0]}
            rig["lines"].append({**ends, **line(given["EA_N"], given[key], given["weight_N_per_m"])})
        found = _catenaries.solve(rig)["answer"]
        places.append(numpy.array(found["junctions_m"][0]))
        tensions = found["lines"]
    moved = places[1] - places[0]
    holds(case, "dx", moved[0])
    holds(case, "dz", moved[2])
    holds(case, "dz of ring", moved[2])
    holds(case, "self-weight z of ring", places[0][2])
    holds(case, "horizontal tension under load", tensions[0]["horizontal_n"])
    holds(case, "left support tension", tensions[0]["tension_at_from_n"])
    holds(case, "right support tension", tensions[1]["tension_at_from_n"])


def span(rope, reach):
    apart = [reach, 0.0, 0.0]
    return _lines.answer(rope, *_lines.inner_forces(rope, apart), apart)


def warmed_span(case):
    given = case["inputs"]
    for warmer, key in zip(given["dT_K"], ("dT=0", "dT=39.26 K")):
        length = given["unstressed_m"] * (1 + given["alpha_per_K"] * warmer)
        found = span(line(given["EA_N"], length, given["weight_N_per_m"]), given["span_m"])
        holds(case, f"mid-span z at {key}", -found["sag_m"])
        holds(case, f"H at {key}", found["horizontal_n"])


def two_spans_over_a_pulley(case):
    given = case["inputs"]
    rope = line(given["EA_N"], given["unstressed_total_m"] / 2, given["weight_N_per_m"])
    found = span(rope, given["spans_m"][0])
    holds(case, "mid-span z, each span", -found["sag_m"])
    holds(case, "H", found["horizontal_n"])
    holds(case, "tension at pulley (equal both sides)", found["tension_at_to_n"])
    holds(case, "load on the suspension", 2 * found["pull_on_to_n"][2] * -1)


def beam(length, bending, weight, picks, stiffness, part=None):
    """A pipe on vertical hangers of a given stiffness in newtons per metre, short so that rounding spares them."""
    hanger = 0.01
    rig = _catenaries.blank("beam")
    rig["pipes"] = [{
        "start_m": [0.0, 0.0, 0.0], "end_m": [length, 0.0, 0.0], "length_m": length,
        "bending_stiffness_nm2": bending, "axial_stiffness_n": 1e4 * bending, "torsional_stiffness_nm2": bending,
        "weight_n_per_m": weight, "point_loads": [], "hinges_along_m": [],
        "part_loads": [{"from_m": part[0], "to_m": part[1], "force_n_per_m": [0.0, 0.0, -part[2]]}] if part else [],
    }]
    for index, along in enumerate(picks):
        rig["points"].append([along, 0.0, hanger])
        rig["pipe_picks"].append({"pipe": 0, "along_m": along})
        rig["lines"].append({"from": ["point", index], "to": ["pipe_pick", index],
                             **line(stiffness * hanger, hanger, 0.0)})
    found = _pipes.solve(rig)["answer"]
    moments = [-pick["moment_nm"][1] for pick in found["pipes"][0]["picks"]]
    return [one["tension_at_from_n"] for one in found["lines"]], moments


# Hangers a hundred thousand times as stiff as a bay of a pipe that bends by less than a ten-thousandth of it:
# nearly the rigid supports and small deflections that the printed figures are for.
STIFF, SOFT, GIVING = 1e9, 1e4, 1e-4


def spans_under_their_weight(case):
    moments = []
    for count in (2, 3, 4, 5):
        tensions, sagging = beam(float(count), SOFT, 1.0, [float(i) for i in range(count + 1)], STIFF)
        holds(case, f"{count} spans reactions", tensions, GIVING)
        moments.append([-moment for moment in sagging[1:-1]])
    name = "interior support moments 2..5 spans"
    wanted = next(expect["value"] for expect in case["expect"] if expect["name"] == name)
    assert len(wanted) == len(moments)
    for got, printed in zip(moments, wanted):
        near(got, printed, GIVING, f"P12, {name}")


def span_that_lifts(case):
    tensions, _ = beam(3.0, SOFT, 0.0, [0.0, 1.0, 2.0, 3.0], STIFF, (0.0, 2.0, 1.0))
    holds(case, "(b) hanger tensions (rigid hangers)", tensions, GIVING)


def hanging_rope(case):
    given = case["inputs"]
    rope = line(given["EA_N"], given["L_m"], given["w_N_per_m"])
    # A breath sideways, as the formula divides by it.
    (_, up), _ = _lines.spread(rope, 1e-6 * given["P_N"], given["P_N"])
    holds(case, "stretch", up - given["L_m"], 1e-9)
    holds(case, "top tension", math.hypot(given["P_N"] + given["w_N_per_m"] * given["L_m"], 1e-6 * given["P_N"]))


def four_elastic_hangers(case):
    given = case["inputs"]
    # The printed answer is for small deflections, so a thousandth of the weight is hung and forces scaled back.
    tensions, _ = beam(given["L_m"], given["EI"], given["q"] / 1000, given["x"], given["k"])
    holds(case, "hanger tensions", [1000 * tension for tension in tensions])


def check():
    cases = load()
    for number, run in (("P01", ring_in_a_heavy_span), ("P02", warmed_span), ("P03", two_spans_over_a_pulley),
                        ("P12", spans_under_their_weight), ("P13", span_that_lifts), ("P25", hanging_rope),
                        ("P26", four_elastic_hangers)):
        run(cases[number])
