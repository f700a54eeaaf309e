"""Let-gos followed in time by general-purpose libraries, as a reference for crates/motion.

The rigs come from a fixed seed. Each hangs at rest (scipy minimises the energy and finds the root of the balance);
then one line is gone at once, and scipy's LSODA follows what happens: rotation matrices and angular momentum, where
crates/motion has quaternions and a Runge-Kutta method of its own. Where it comes to rest is the lowest energy that
scipy finds downhill of where it was let go. Every rig but one is also given to MuJoCo, a physics engine, which must
come within 1 %. The one has damped lines on a junction. There this script keeps to the rule of docs/theory/motion.md,
and MuJoCo, tried with a junction of 5 g for 0.3 s, comes within 0.5 % of the greatest peak in all lines but one, in
which it shows a spike at the touch that any mass of the junction makes.

Undamped lines that go slack again and again make for chaos. So each motion is repeated from 1e-9 m aside and at ten
times the tolerance: where a peak then differs by more than 1e-4 of the greatest, less time is asked for, and where 1.5 s
are still too long another rig is drawn. A rig is drawn again as well where it has no single place to hang, before or
after, or where what was to be there is not (a line that carries something and lets go).

    python references/letgo.py --write    writes tests/published/letgo-reference.json
    python references/letgo.py --check    solves again and compares to 1e-4 relative

Needs references/requirements.txt.
"""

import math
import random
import sys

import mujoco
import numpy

import _mujoco
from _answers import libraries, write_or_check
from _motions import follow, peaks, rings_let_go
from _rigs import Rig, hang

SEED = 1807
SECONDS = (2.5, 1.5)
AGREES = 1e-4
# What is drawn, and the ratio of damping c = 2 z k / w with w^2 = sum k / m: any true number of N s/m would do.
KINDS = [("legs", 0.0), ("ring", 0.0), ("legs", 0.003), ("sheave", 0.0), ("ring", 0.0), ("two loads", 0.0),
         ("legs", 0.0), ("ring", 0.0), ("legs", 0.03), ("ring", 0.03), ("legs", 0.0), ("ring", 0.0),
         ("two loads", 0.01), ("legs", 0.1)]


class Draft:
    """A rig on its way: straight lines with lengths a little off, so that some hang slack at first."""

    def __init__(self, dice):
        self.dice = dice
        self.rig = {"loads": [], "points": [], "picks": [], "junctions": [], "lines": []}

    def load(self, weight, at):
        spread = self.dice.uniform
        size = [spread(0.9, 2.0), spread(0.9, 2.0), spread(0.3, 0.8)]
        mass = weight / 9.80665
        squares = [side * side for side in size]
        inertia = [mass / 12.0 * (sum(squares) - square) for square in squares]
        self.rig["loads"].append({
            "weight_n": weight, "centre_m": [spread(-0.2, 0.2), spread(-0.2, 0.2), -spread(0.1, 0.5)],
            "inertia_kg_m2": inertia, "drawn_at_m": at})
        return len(self.rig["loads"]) - 1

    def node(self, kind, what, place):
        """A node, and where it is drawn."""
        self.rig[kind].append(what)
        return [kind[:-1], len(self.rig[kind]) - 1], place

    def point(self, at):
        return self.node("points", at, at)

    def ring(self, at, weight):
        return self.node("junctions", {"weight_n": weight, "drawn_at_m": at}, at)

    def pick(self, load, at):
        drawn = self.rig["loads"][load]["drawn_at_m"]
        return self.node("picks", {"load": load, "at_m": at}, [x + y for x, y in zip(drawn, at)])

    def line(self, *nodes, off=None):
        length = sum(math.dist(a[1], b[1]) for a, b in zip(nodes, nodes[1:]))
        length += self.dice.uniform(-0.012, 0.012) if off is None else off
        self.rig["lines"].append({
            "path": [node[0] for node in nodes], "stiffness_n": 10 ** self.dice.uniform(5.0, 6.2),
            "unloaded_length_m": length, "damping_n_s_per_m": 0.0})


def around(radius, angle, z):
    return [radius * math.cos(angle), radius * math.sin(angle), z]


def draw(kind, ratio, dice):
    """One rig: a load on its legs, and what its kind says besides."""
    draft, spread = Draft(dice), dice.uniform
    weight = round(spread(800, 6000), 1)
    trim = [spread(-0.3, 0.3), spread(-0.3, 0.3), -spread(3.5, 4.5)]
    load = draft.load(weight, trim)
    legs = {"legs": dice.randint(3, 8), "two loads": 4}.get(kind, dice.randint(2, 4))
    turn = spread(0, 2 * math.pi)
    for leg in range(legs):
        angle = turn + 2 * math.pi * (leg + spread(-0.2, 0.2)) / max(legs, 3)
        top = draft.point(around(spread(1.0, 1.8), angle, spread(-0.3, 0.3)))
        pick = draft.pick(load, around(spread(0.7, 1.2), angle, spread(0, 0.2)))
        # One of many legs is a secondary one that hangs slack.
        draft.line(top, pick, off=0.04 if legs > 4 and leg == 1 else None)
    aside = turn + 2 * math.pi * 2.5 / 3
    if kind == "ring":
        ring = draft.ring(around(0.9, aside, -1.6), dice.choice([0.0, round(spread(2, 0.01 * weight), 2)]))
        for side in (-0.5, 0.5):
            draft.line(draft.point(around(1.5, aside + side, 0.1)), ring, off=-spread(0.0, 0.02))
        for side in (-0.3, 0.3):
            draft.line(ring, draft.pick(load, around(spread(0.8, 1.1), aside + side, 0.1)), off=-spread(0.0, 0.01))
    if kind == "sheave":
        sheave = draft.point(around(0.9, aside, 0.2))
        ends = [draft.pick(load, around(1.0, aside + side, 0.1)) for side in (-0.7, 0.7)]
        draft.line(ends[0], sheave, ends[1])
    if kind == "two loads":
        below = draft.load(round(spread(0.2, 0.5) * weight, 1), [trim[0], trim[1], trim[2] - 2.0])
        for leg in range(3):
            angle = turn + 2 * math.pi * (leg + spread(-0.1, 0.1)) / 3
            top = draft.pick(load, around(spread(0.5, 0.9), angle, -spread(0.1, 0.2)))
            draft.line(top, draft.pick(below, around(spread(0.4, 0.7), angle, 0.1)))
    damp(draft.rig, ratio, kind == "ring", dice)
    return draft.rig


def damp(rig, ratio, alike, dice):
    """Damping of lines, of one c / k on junctions and each with its own elsewhere."""
    rates = [line["stiffness_n"] / line["unloaded_length_m"] for line in rig["lines"]]
    frequency = math.sqrt(sum(rates) * 9.80665 / sum(load["weight_n"] for load in rig["loads"]))
    for line, rate in zip(rig["lines"], rates):
        own = 1.0 if alike else dice.uniform(0.5, 1.5)
        line["damping_n_s_per_m"] = own * 2.0 * ratio * rate / frequency


def drawn_pose(rig):
    centres = [[x + y for x, y in zip(load["drawn_at_m"], load["centre_m"])] for load in rig["loads"]]
    rings = numpy.array([junction["drawn_at_m"] for junction in rig["junctions"]]).reshape(-1, 3)
    return numpy.array(centres), numpy.tile(numpy.eye(3), (len(centres), 1, 1)), rings


def told(pose):
    """A pose as it is kept; column i of a rotation matrix is where body axis i points."""
    centres, turns, rings = pose
    return {"centres_m": centres.tolist(), "axes": [turn.T.tolist() for turn in turns],
            "junctions_m": rings.tolist()}


def apart(ours, theirs):
    """The greatest difference of a peak, over the greatest peak."""
    greatest = max(peak for peak, _ in ours)
    return max(abs(a - b) for (a, _), (b, _) in zip(ours, theirs)) / greatest


def let_go(rig, dice):
    """Adds what happens as a line of the rig lets go; or nothing, if that is not to be told."""
    before = hang(Rig(rig), drawn_pose(rig))
    if before is None:
        return None
    tensions = Rig(rig).tensions(before)
    carry = [line for line, pull in enumerate(tensions) if pull > 0.1 * rig["loads"][0]["weight_n"]]
    gone = dice.choice(carry)
    left = Rig(rig, without=(gone,))
    after = hang(left, before)
    if after is None:
        return None
    *then, off = follow(left, before, SECONDS[0])
    *aside, _ = follow(left, before, SECONDS[0], relative=1e-9, moved=1e-9)
    sway = lambda seconds: apart(peaks(*then, seconds), peaks(*aside, seconds))
    seconds = next((seconds for seconds in SECONDS if sway(seconds) < AGREES), None)
    if seconds is None:
        return None
    undamped = all(line["damping_n_s_per_m"] == 0.0 for line in rig["lines"])
    assert not undamped or off < 1e-5, f"energy is off by {off}"
    tops = peaks(*then, seconds)
    tell = lambda tops: [{"tension_n": tops[left.kept.index(line)][0], "at_s": tops[left.kept.index(line)][1]}
                         if line != gone else None for line in range(len(rig["lines"]))]
    told_of = {**rig, "gone": gone, "seconds": seconds, "before": {**told(before), "tensions_n": tensions.tolist()},
               "peaks": tell(tops), "agrees_with_itself": sway(seconds), "after": told(after)}
    if undamped or not rig["junctions"]:
        at_once = (before[0], before[1], rings_let_go(left, before))
        engine = peaks(*_mujoco.follow(rig, gone, at_once, seconds), seconds)
        told_of |= {"mujoco": tell(engine), "mujoco_differs": apart(tops, engine)}
        assert told_of["mujoco_differs"] < 0.01, f"MuJoCo differs by {told_of['mujoco_differs']}"
    return told_of


def build():
    dice = random.Random(SEED)
    cases = []
    for number, (kind, ratio) in enumerate(KINDS):
        found = None
        while found is None:
            found = let_go(draw(kind, ratio, dice), dice)
        print(f"{number + 1} {kind}: {found['seconds']} s, differs from itself by {found['agrees_with_itself']:.0e}, "
              f"from MuJoCo by {found.get('mujoco_differs', math.nan):.1e}", file=sys.stderr)
        cases.append({"name": f"let-go {number + 1}: {kind}", **found})
    return {
        "what": "Rigid loads on straight, elastic, weightless lines that only pull; one of them, gone, is gone from "
                "the first instant, at rest. T = k e + c de/dt, never below 0, k = stiffness / unloaded length; SI, z up. "
                "A path goes over points, picks (body axes, the load's own origin) and junctions without mass; inertia "
                "is about the centre of gravity, along body axes. Peaks are the greatest tension within the seconds, "
                "and when. After is the equilibrium downhill of before, without the line that is gone.",
        "made_by": "references/letgo.py",
        "libraries": libraries(mujoco=mujoco.__version__),
        "seed": SEED,
        "cases": cases,
    }


if __name__ == "__main__":
    sys.exit(write_or_check(__doc__, build, "letgo-reference.json", "let-gos", 1e-4))
