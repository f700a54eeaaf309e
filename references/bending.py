"""Pipes that bend as something lets go, by a flexible beam, as a reference for what crates/rig tells of pipes on the way.

crates/motion follows a pipe as a stiff one, and crates/rig tells what bends it as a bound. Here the pipe is Bernoulli's
beam: cubic finite elements with the masses that belong to them, its lowest forty shapes from scipy's eigh, and scipy's
DOP853 for what these do with lines that pull upward and are never pushed. All is upright and small: lines hang plumb, so
that a pipe and a load under it only go up and down and the pipe tilts a little. Nothing is damped. What is told is the
greatest bending moment along the pipe, by the curvature of the shapes at the ends of the elements, and the greatest pull of
each line in the first 0.15 s, before the pipe tilts far.

    python references/bending.py --write    writes tests/published/bending-reference.json
    python references/bending.py --check    solves again and compares to 1e-4 relative

Needs references/requirements.txt.
"""

import sys

import numpy
import scipy.integrate
import scipy.linalg
import scipy.optimize

from _answers import libraries, write_or_check

GRAVITY = 9.80665
# Of a rope 7x19 of 3/16 in, EA = 7.143 Mpsi d^2, as the parts book has it.
EA_N = 7.142857142857143e6 * 6894.757293168361 * (0.1875 * 0.0254) ** 2
ELEMENTS, SHAPES, SECONDS, LOOKS = 60, 40, 1.5, 6000
# Of what lines get, this much of the time is told: later a hair more or less makes another motion.
SOON = 0.15
TOP_M = 10.0

# x and length of lines in metres; `from` is the building or the load underneath; `gone` lets go.
CASES = [
    {"name": "a batten of three lines loses its middle one",
     "pipe": {"length_m": 8.0, "bending_n_m2": 90e3, "mass_kg_per_m": 5.0, "carries": [[4.0, 25.0]]},
     "lines": [{"name": "a", "at_m": 0.5, "length_m": 4.0}, {"name": "b", "at_m": 4.0, "length_m": 4.0},
               {"name": "c", "at_m": 7.5, "length_m": 4.0}], "gone": ["b"]},
    {"name": "a batten of three lines loses an outer one",
     "pipe": {"length_m": 9.0, "bending_n_m2": 150e3, "mass_kg_per_m": 6.0, "carries": [[1.0, 12.0], [6.0, 8.0], [8.5, 12.0]]},
     "lines": [{"name": "a", "at_m": 0.5, "length_m": 4.0}, {"name": "b", "at_m": 4.5, "length_m": 4.0},
               {"name": "c", "at_m": 6.5, "length_m": 4.0}], "gone": ["a"]},
    {"name": "a batten falls 30 mm into two lines near its middle",
     "pipe": {"length_m": 6.0, "bending_n_m2": 18e3, "mass_kg_per_m": 4.0, "carries": [[1.0, 9.0], [5.0, 9.0]]},
     "lines": [{"name": "a", "at_m": 0.6, "length_m": 4.0}, {"name": "b", "at_m": 5.4, "length_m": 4.0},
               {"name": "c", "at_m": 2.6, "length_m": 4.03, "role": "secondary"},
               {"name": "d", "at_m": 3.4, "length_m": 4.03, "role": "secondary"}], "gone": ["a", "b"]},
    {"name": "one end of a batten falls 50 mm into a line at its middle",
     "pipe": {"length_m": 5.0, "bending_n_m2": 12e3, "mass_kg_per_m": 3.0, "carries": [[2.5, 20.0]]},
     "lines": [{"name": "a", "at_m": 0.4, "length_m": 4.0}, {"name": "b", "at_m": 4.6, "length_m": 4.0},
               {"name": "c", "at_m": 2.9, "length_m": 4.05, "role": "secondary"}], "gone": ["b"]},
    {"name": "a lamp falls 10 mm under the middle of a batten",
     "pipe": {"length_m": 3.0, "bending_n_m2": 25e3, "mass_kg_per_m": 4.0, "carries": []},
     "lamp": {"weight_n": 110.0},
     "lines": [{"name": "a", "at_m": 0.3, "length_m": 2.0}, {"name": "b", "at_m": 2.7, "length_m": 2.0},
               {"name": "t", "at_m": 1.5, "length_m": 0.4, "from": "lamp"},
               {"name": "s", "at_m": 1.5, "length_m": 0.41, "from": "lamp", "role": "secondary"}], "gone": ["t"]},
    {"name": "a lamp falls 100 mm under a batten",
     "pipe": {"length_m": 4.0, "bending_n_m2": 25e3, "mass_kg_per_m": 4.0, "carries": [[0.5, 10.0]]},
     "lamp": {"weight_n": 150.0},
     "lines": [{"name": "a", "at_m": 0.3, "length_m": 2.0}, {"name": "b", "at_m": 3.7, "length_m": 2.0},
               {"name": "t", "at_m": 1.6, "length_m": 0.4, "from": "lamp"},
               {"name": "s", "at_m": 1.6, "length_m": 0.5, "from": "lamp", "role": "secondary"}], "gone": ["t"]},
]


def cubic(share, length):
    """The four shape functions of an element, and their curvatures."""
    s, l = share, length
    shapes = [1 - 3 * s**2 + 2 * s**3, l * (s - 2 * s**2 + s**3), 3 * s**2 - 2 * s**3, l * (s**3 - s**2)]
    curves = [(12 * s - 6) / l**2, (6 * s - 4) / l, (6 - 12 * s) / l**2, (6 * s - 2) / l]
    return numpy.array(shapes), numpy.array(curves)


class Beam:
    """Shapes of a free beam, scaled to unit mass, with what each is at a place and how it is curved."""

    def __init__(self, pipe):
        length, ei = pipe["length_m"], pipe["bending_n_m2"]
        self.h = h = length / ELEMENTS
        size = 2 * (ELEMENTS + 1)
        stiff, mass = numpy.zeros((size, size)), numpy.zeros((size, size))
        of_element = ei / h**3 * numpy.array([[12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h],
                                              [-12, -6 * h, 12, -6 * h], [6 * h, 2 * h * h, -6 * h, 4 * h * h]])
        of_mass = pipe["mass_kg_per_m"] * h / 420 * numpy.array(
            [[156, 22 * h, 54, -13 * h], [22 * h, 4 * h * h, 13 * h, -3 * h * h],
             [54, 13 * h, 156, -22 * h], [-13 * h, -3 * h * h, -22 * h, 4 * h * h]])
        for element in range(ELEMENTS):
            here = slice(2 * element, 2 * element + 4)
            stiff[here, here] += of_element
            mass[here, here] += of_mass
        for at, carried in pipe["carries"]:
            row = self.row(at, size)
            mass += carried * numpy.outer(row, row)
        squares, shapes = scipy.linalg.eigh(stiff, mass, subset_by_index=[0, SHAPES - 1])
        self.squares, self.shapes = numpy.where(squares < 1e-3 * squares[2], 0.0, squares), shapes
        heights = numpy.zeros(size)
        heights[0::2] = 1.0
        self.weight = shapes.T @ (mass @ heights) * GRAVITY
        curved = numpy.zeros((2 * ELEMENTS, size))
        for element in range(ELEMENTS):
            for end in (0, 1):
                curved[2 * element + end, 2 * element:2 * element + 4] = cubic(end, h)[1]
        self.moments = ei * curved @ shapes

    def row(self, at, size):
        element = min(int(at / self.h), ELEMENTS - 1)
        row = numpy.zeros(size)
        row[2 * element:2 * element + 4] = cubic(at / self.h - element, self.h)[0]
        return row

    def place(self, at):
        return self.row(at, self.shapes.shape[0]) @ self.shapes


def run(case):
    """The greatest bending moment before, and after something let go."""
    beam = Beam(case["pipe"])
    lamp = case.get("lamp")
    count = SHAPES + (1 if lamp else 0)
    places, lengths, stiff = [], [], []
    for line in case["lines"]:
        row = numpy.zeros(count)
        row[:SHAPES] = beam.place(line["at_m"])
        if line.get("from") == "lamp":
            # It lengthens as the lamp goes down from the pipe.
            row = -row
            row[SHAPES] = 1.0
        places.append(row)
        lengths.append(line["length_m"])
        stiff.append(EA_N / line["length_m"])
    places, stiff = numpy.array(places), numpy.array(stiff)
    main = [line.get("role") != "secondary" for line in case["lines"]]
    # Down is positive; at nought every line that carries is as long as it is, and the others are slack by so much more.
    slack = []
    for line in case["lines"]:
        like = [other["length_m"] for other in case["lines"] if other.get("from") == line.get("from")
                and other.get("role") != "secondary"]
        slack.append(line["length_m"] - like[0])
    slack = numpy.array(slack)
    squares = numpy.concatenate([beam.squares, [0.0] * (count - SHAPES)])
    weight = numpy.concatenate([beam.weight, [lamp["weight_n"]] if lamp else []])
    mass = numpy.ones(count)
    if lamp:
        mass[SHAPES] = lamp["weight_n"] / GRAVITY

    def pulls(at, there):
        return there * stiff * numpy.maximum(places @ at - slack, 0.0)

    def rest(there, guess):
        residual = lambda at: weight - squares * at - places.T @ pulls(at, there)
        stiffness = lambda at: -numpy.diag(squares) - places.T @ numpy.diag(there * stiff * (places @ at > slack)) @ places
        found = scipy.optimize.root(residual, guess, jac=stiffness, tol=1e-12)
        assert found.success and numpy.abs(residual(found.x)).max() < 1e-6, found.message
        return found.x

    guess = numpy.linalg.solve(numpy.diag(squares) + places.T @ numpy.diag(stiff * main) @ places, weight)
    before = rest(numpy.ones(len(main)), guess)
    there = numpy.array([line["name"] not in case["gone"] for line in case["lines"]], float)

    def slope(_, state):
        at, speed = state[:count], state[count:]
        return numpy.concatenate([speed, (weight - squares * at - places.T @ pulls(at, there)) / mass])

    start = numpy.concatenate([before, numpy.zeros(count)])
    times = numpy.linspace(0.0, SECONDS, LOOKS)
    found = scipy.integrate.solve_ivp(slope, (0.0, SECONDS), start, "DOP853", times, rtol=1e-8, atol=1e-10)
    assert found.success, found.message
    moments = numpy.abs(beam.moments @ found.y[:SHAPES])
    soon = [pulls(at, there) for at, time in zip(found.y[:count].T, times) if time <= SOON]
    greatest = numpy.max(soon, axis=0)
    peaks = {line["name"]: float(peak) for line, peak, left in zip(case["lines"], greatest, there) if left}
    return {"before_n_m": float(numpy.abs(beam.moments @ before[:SHAPES]).max()), "greatest_n_m": float(moments.max()),
            "soon_n": peaks}


def build():
    cases = [{**case, **run(case)} for case in CASES]
    return {"libraries": libraries(), "ea_n": EA_N, "top_m": TOP_M, "seconds": SECONDS, "soon_s": SOON, "cases": cases}


if __name__ == "__main__":
    sys.exit(write_or_check(__doc__, build, "bending-reference.json", "pipes", 1e-4))
