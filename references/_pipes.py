"""Bending pipes on hangers: drawn from a seed, and solved twice over.

1. OpenSees: a chain of corotational beam elements, corotational trusses without compression for weightless
   lines and catenary elements for heavy ones; the weight lumped to the nodes. Solved with N and with 2 N
   elements, whose difference shows what the chain leaves; it falls fourfold, so both give the limit.
2. scipy: the differential equations of the bending curve at any size of turn, an initial value problem from
   event to event (DOP853, 1e-13), Newton on all events together. No elements. These are the answers.

A pipe is straight when unloaded and equally stiff in all planes; it stretches, and does not shear. Nothing
twists such a pipe when lines and loads act on its axis, so its torsional stiffness does not matter.
With r the place, t the direction, F and M the force and moment of the far side on the near, s unloaded metres:

    r' = (1 + F.t / EA) t     t' = M x t / EI     M' = -r' x F     F' = -f
"""

import math
import os

import numpy
from scipy.integrate import solve_ivp
from scipy.optimize import minimize, minimize_scalar

import _lines
from _catenaries import blank, rounded, sum_on_points
from _opensees import opensees

# Eight times this many beams, and twice that; and steps in which a pipe that is hard to find softens.
FINER, STAGES = 12, 10
STEEL_PA, STEEL_SHEAR_PA, STEEL_N_PER_M3 = 2.1e11, 8.1e10, 77000.0


def tube(dice, length):
    """A steel tube with EI of 1e4 to 6e4 N m2."""
    outside, wall = round(dice.uniform(0.040, 0.058), 4), round(dice.uniform(0.0026, 0.0040), 4)
    inside = outside - 2 * wall
    area = math.pi / 4 * (outside**2 - inside**2)
    second = math.pi / 64 * (outside**4 - inside**4)
    return {
        "start_m": None, "end_m": None, "length_m": length,
        "bending_stiffness_nm2": round(STEEL_PA * second, 1),
        "axial_stiffness_n": round(STEEL_PA * area, 0),
        "torsional_stiffness_nm2": round(STEEL_SHEAR_PA * 2 * second, 1),
        "weight_n_per_m": round(STEEL_N_PER_M3 * area, 3),
        "point_loads": [], "part_loads": [], "hinges_along_m": [],
    }


def hang(dice, name, length, picks, tops, errors, points=(), part=None, hinge=None, near=None, stiff=None):
    """A pipe from (0, 0, 0) along x, or as drawn in `near`, on light hangers at `picks` to `tops`."""
    case = blank(name)
    pipe = tube(dice, length)
    pipe["start_m"], pipe["end_m"] = near or ([0.0, 0.0, 0.0], [length, 0.0, 0.0])
    axis = numpy.subtract(pipe["end_m"], pipe["start_m"]) / length
    for index, (along, top, error) in enumerate(zip(picks, tops, errors)):
        at = numpy.array(pipe["start_m"]) + along * axis
        case["points"].append(rounded(top))
        case["pipe_picks"].append({"pipe": 0, "along_m": along})
        case["lines"].append({
            "from": ["point", index], "to": ["pipe_pick", index],
            "stiffness_n": stiff or round(10 ** dice.uniform(5.31, 6.3), 1),
            "unloaded_length_m": round(float(numpy.linalg.norm(at - top)) + error, 6),
            "weight_n_per_m": 0.0})
    pipe["point_loads"] = [{"along_m": along, "force_n": rounded(force)} for along, force in points]
    if part:
        pipe["part_loads"] = [{"from_m": part[0], "to_m": part[1], "force_n_per_m": [0.0, 0.0, -part[2]]}]
    if hinge:
        pipe["hinges_along_m"] = [hinge]
    case["pipes"] = [pipe]
    return case


def draw(dice):
    """Pipes on weightless hangers: level ones, and such as tilt, spread their legs or are squeezed."""
    error = lambda count: [dice.uniform(-0.01, 0.01) for _ in range(count)]
    above = lambda picks: [[x, 0.0, dice.uniform(2, 6)] for x in picks]
    down = lambda least, most: [0.0, 0.0, -dice.uniform(least, most)]
    cases = []

    def level(name, length, picks, errors=None, **more):
        cases.append(hang(dice, name, length, picks, above(picks), errors or error(len(picks)), **more))

    level("pipe on two hangers with overhangs", 4.5, [0.9, 3.6], points=[(2.4, down(300, 900))])
    level("pipe on three hangers", 6.0, [0.4, 2.9, 5.7], points=[(1.5, down(200, 700)), (4.1, down(200, 700))])
    level("pipe on four hangers, part loaded", 7.5, [0.3, 2.6, 4.9, 7.2], part=(1.1, 5.3, 180.0))
    level("pipe on six hangers, one long", 12.0, [0.5, 2.7, 4.9, 7.1, 9.3, 11.5],
          [0.0, 0.004, 0.03, -0.006, 0.003, -0.002], points=[(8.2, down(300, 600))])
    level("pipe lifted off its last hanger", 6.0, [1.2, 3.9, 5.6], [0.0, 0.0, 0.012],
          points=[(0.0, down(150, 250)), (2.6, down(300, 500)), (0.6, down(50, 100))])
    level("pipe with a hinge", 8.0, [0.3, 2.9, 5.6, 7.8], hinge=4.0, points=[(4.8, down(200, 500))])
    level("pipe with a hinge, part loaded", 9.0, [0.4, 2.6, 5.2, 7.0, 8.7], hinge=3.4, part=(4.0, 8.2, 120.0),
          points=[(2.0, down(200, 400))])

    picks = [0.5, 5.1]
    tilted = 6.0 * numpy.array([math.cos(0.55), 0.0, -math.sin(0.55)])
    cases.append(hang(dice, "tilted pipe", 6.0, picks, [[0.1, 0.0, 3.0], [5.1, 0.0, 2.5]], error(2),
                      points=[(2.6, down(600, 1200))], near=([0.0, 0.0, 0.0], rounded(tilted))))
    cases.append(hang(dice, "pipe squeezed by legs that meet", 5.0, [0.1, 4.9], [[2.4, 0.0, 2.0], [2.6, 0.0, 2.0]],
                      error(2), points=[(1.7, down(400, 800)), (3.3, down(400, 800))]))
    cases.append(hang(dice, "pipe pulled by spread legs", 5.0, [0.0, 2.4, 5.0],
                      [[-2.6, 0.0, 2.2], [2.4, 0.0, 3.0], [7.4, 0.0, 2.4]], error(3), part=(0.5, 2.0, 300.0),
                      points=[(3.9, down(800, 1500))]))
    cases.append(hang(dice, "pipe on legs spread in space", 5.5, [0.3, 2.0, 3.6, 5.3],
                      [[-0.6, 1.1, 2.4], [1.6, -1.3, 2.2], [3.9, 1.2, 2.6], [6.1, -1.0, 2.3]], error(4),
                      points=[(2.8, [0.0, 60.0, -900.0])]))
    cases.append(hang(dice, "tilted pipe on legs spread in space", 6.0, [0.2, 3.1, 5.8],
                      [[-0.9, 0.8, 2.6], [2.2, -1.0, 2.9], [6.4, 0.7, 1.9]], error(3),
                      points=[(1.4, down(300, 700)), (4.4, down(300, 700))],
                      near=([0.0, 0.0, 0.0], rounded(6.0 * numpy.array([math.cos(0.35), 0.0, -math.sin(0.35)])))))
    return cases


def draw_on_catenaries(dice):
    """Pipes on heavy lines, straight from points, and by light hangers from rings in a heavy span."""
    first = hang(dice, "pipe on three heavy lines", 6.0, [0.2, 3.0, 5.8],
                 [[-4.5, 0.0, 4.0], [3.3, 0.0, 5.0], [9.5, 0.0, 3.0]], [0.25, 0.004, 0.06],
                 points=[(4.2, [0.0, 0.0, -400.0])])
    for line, weight in zip(first["lines"], (42.0, 11.0, 23.0)):
        line["weight_n_per_m"] = weight
    second = hang(dice, "pipe under a heavy span", 6.0, [0.8, 5.2], [[0.8, 0.0, 2.0], [5.2, 0.0, 2.0]],
                  [0.0, 0.005], points=[(3.6, [0.0, 0.0, -500.0])])
    second["junctions"] = [{"near_m": [0.8, 0.0, 2.0], "force_n": [0.0, 0.0, -35.0]},
                           {"near_m": [5.2, 0.0, 2.0], "force_n": [0.0, 0.0, -20.0]}]
    for index, line in enumerate(second["lines"]):
        line["from"] = ["junction", index]
    second["points"] = [[-3.0, 0.0, 3.5], [9.0, 0.0, 4.2]]
    stops = [(["point", 0], second["points"][0])]
    stops += [(["junction", i], j["near_m"]) for i, j in enumerate(second["junctions"])]
    stops += [(["point", 1], second["points"][1])]
    for (a, start), (b, end) in zip(stops, stops[1:]):
        second["lines"].append({"from": a, "to": b, "stiffness_n": 8.0e5,
                                "unloaded_length_m": round(math.dist(start, end) * 1.01, 6), "weight_n_per_m": 18.0})
    return [first, second]


# ---- what both ways share ----


def events(case):
    """Where along the pipe (only one) something changes, with what happens there."""
    pipe = case["pipes"][0]
    at = {0.0, pipe["length_m"], *pipe["hinges_along_m"]}
    at |= {pick["along_m"] for pick in case["pipe_picks"]} | {load["along_m"] for load in pipe["point_loads"]}
    at |= {load[key] for load in pipe["part_loads"] for key in ("from_m", "to_m")}
    return sorted(at)


def spread_force(pipe, start, end):
    """Force per unloaded metre between two neighbouring events."""
    total = numpy.array([0.0, 0.0, -pipe["weight_n_per_m"]])
    for load in pipe["part_loads"]:
        if load["from_m"] <= start and end <= load["to_m"]:
            total = total + load["force_n_per_m"]
    return total


def place_of(case, end, on_pipe, junctions):
    kind, index = end
    if kind == "point":
        return numpy.array(case["points"][index])
    return junctions[index] if kind == "junction" else on_pipe(case["pipe_picks"][index]["along_m"])


def whole_weight(case):
    """What all lines together carry, in newtons: a measure of force."""
    pipe = case["pipes"][0]
    total = pipe["weight_n_per_m"] * pipe["length_m"]
    total += sum(abs(load["force_n"][2]) for load in pipe["point_loads"])
    total += sum(abs(load["force_n_per_m"][2]) * (load["to_m"] - load["from_m"]) for load in pipe["part_loads"])
    total += sum(abs(junction["force_n"][2]) for junction in case["junctions"])
    return total + sum(line["weight_n_per_m"] * line["unloaded_length_m"] for line in case["lines"])


# ---- OpenSees ----


def stiff_pose(case):
    """Start, direction and places of junctions if the pipe did not bend: where both searches begin."""
    pipe = case["pipes"][0]
    start = numpy.array(pipe["start_m"])
    along = numpy.subtract(pipe["end_m"], start)
    unknowns = [*start, *(along / numpy.linalg.norm(along)), *[x for j in case["junctions"] for x in j["near_m"]]]
    stops = events(case)
    bits = [(a, b, spread_force(pipe, a, b)) for a, b in zip(stops, stops[1:])]

    def energy(x, stiffest):
        axis = x[3:6] / numpy.linalg.norm(x[3:6])
        on_pipe = lambda s: x[0:3] + s * axis
        junctions = x[6:].reshape(-1, 3)
        total = -sum(f @ on_pipe((a + b) / 2) * (b - a) for a, b, f in bits)
        total -= sum(on_pipe(load["along_m"]) @ load["force_n"] for load in pipe["point_loads"])
        total -= sum(place @ j["force_n"] for place, j in zip(junctions, case["junctions"]))
        for line in case["lines"]:
            ends = [place_of(case, line[end], on_pipe, junctions) for end in ("from", "to")]
            # Soft hangers all come taut, as they do when the pipe bends; soft heavy lines would sag away.
            stiffness = min(line["stiffness_n"], stiffest if line["weight_n_per_m"] > 0 else 1e5)
            total += _lines.energy(dict(line, stiffness_n=stiffness), *ends)
        return total + 1e3 * (numpy.linalg.norm(x[3:6]) - 1) ** 2

    found = numpy.array(unknowns)
    # Lines soft at first: stiff ones make a narrow valley.
    for method, stiffest in (("BFGS", 1e5), ("Nelder-Mead", 1e5), ("BFGS", 1e5), ("BFGS", 3e5), ("BFGS", 1e6)):
        options = {"maxfev": 5000} if method == "Nelder-Mead" else {"gtol": 1e-2}
        found = minimize(energy, found, args=(stiffest,), method=method, options=options).x
    return found[0:3], found[3:6] / numpy.linalg.norm(found[3:6]), found[6:].reshape(-1, 3)


class Chain:
    """The case in OpenSees' terms, with about eight times `finer` beams."""

    def __init__(self, case, finer, pose):
        self.case, self.pipe = case, case["pipes"][0]
        self.start, self.axis, self.rings = pose
        stops = events(case)
        # Doubling `finer` halves every beam, so that all errors fall by the same factor.
        self.along = [stops[0]]
        self.at_event = {stops[0]: 0}
        for a, b in zip(stops, stops[1:]):
            count = max(1, round(8 * (b - a) / self.pipe["length_m"])) * finer
            self.along += [a + (b - a) * (i + 1) / count for i in range(count)]
            self.at_event[b] = len(self.along) - 1
        self.build()

    def build(self):
        opensees.wipe()
        opensees.model("basic", "-ndm", 3, "-ndf", 6)
        for index, s in enumerate(self.along):
            opensees.node(1 + index, *map(float, self.start + s * self.axis))
        # A pipe on its axis may turn about it at no cost; held at one place, it carries nothing there.
        opensees.fix(1, 0, 0, 0, 1, 0, 0)
        side = [0.0, 1.0, 0.0]
        opensees.geomTransf("Corotational", 1, *side)
        first = {}
        nodes = len(self.along)
        for along in self.pipe["hinges_along_m"]:
            twin, nodes = nodes + 1, nodes + 1
            at = self.at_event[along]
            opensees.node(twin, *opensees.nodeCoord(1 + at))
            opensees.equalDOF(1 + at, twin, 1, 2, 3)
            opensees.fix(len(self.along), 0, 0, 0, 1, 0, 0)
            first[at] = twin
        stiffness = [self.pipe[key] for key in
                     ("axial_stiffness_n", "torsional_stiffness_nm2", "bending_stiffness_nm2")]
        for index in range(len(self.along) - 1):
            opensees.element("elasticBeamColumn", 1 + index, first.get(index, 1 + index), 2 + index, stiffness[0], 1.0,
                             1.0, stiffness[1], stiffness[2], stiffness[2], 1)
        self.add_lines(nodes)
        self.add_loads()

    def add_lines(self, nodes):
        self.ring_nodes = []
        for place in self.rings:
            nodes += 1
            opensees.node(nodes, *map(float, place))
            opensees.fix(nodes, 0, 0, 0, 1, 1, 1)
            self.ring_nodes.append(nodes)
        point_nodes = []
        for place in self.case["points"]:
            nodes += 1
            opensees.node(nodes, *place)
            opensees.fix(nodes, 1, 1, 1, 1, 1, 1)
            point_nodes.append(nodes)
        self.line_ends = []
        for index, line in enumerate(self.case["lines"]):
            ends = []
            for kind, number in (line["from"], line["to"]):
                ends.append(point_nodes[number] if kind == "point" else self.ring_nodes[number] if kind == "junction"
                            else 1 + self.at_event[self.case["pipe_picks"][number]["along_m"]])
            self.line_ends.append(ends)
            tag = 100000 + index
            stiffness, length = line["stiffness_n"], line["unloaded_length_m"]
            if line["weight_n_per_m"] > 0:
                # A cable wants nodes that do not turn.
                for end, node in enumerate(ends):
                    nodes += 1
                    opensees.node(nodes, *opensees.nodeCoord(node), "-ndf", 3)
                    opensees.equalDOF(node, nodes, 1, 2, 3)
                    ends[end] = nodes
                opensees.element("CatenaryCable", tag, *ends, -line["weight_n_per_m"], stiffness, 1.0, length, 0.0,
                                 0.0, 0.0, 1e-11, 200, 0)
                continue
            # A truss measures strain from its drawn length; the rest is given as strain it has from the start.
            drawn = math.dist(opensees.nodeCoord(ends[0]), opensees.nodeCoord(ends[1]))
            opensees.uniaxialMaterial("Elastic", 2 * tag, stiffness * drawn / length, 0.0, 0.0)
            opensees.uniaxialMaterial("InitStrainMaterial", tag, 2 * tag, (drawn - length) / drawn)
            opensees.element("corotTruss", tag, *ends, 1.0, tag)

    def add_loads(self):
        opensees.timeSeries("Constant", 1)
        opensees.pattern("Plain", 1, 1)
        loads = numpy.zeros((len(self.along), 3))
        for index, (a, b) in enumerate(zip(self.along, self.along[1:])):
            half = spread_force(self.pipe, a, b) * (b - a) / 2
            loads[index] += half
            loads[index + 1] += half
        for load in self.pipe["point_loads"]:
            loads[self.at_event[load["along_m"]]] += load["force_n"]
        for index, force in enumerate(loads):
            opensees.load(1 + index, *map(float, force), 0.0, 0.0, 0.0)
        for node, junction in zip(self.ring_nodes, self.case["junctions"]):
            opensees.load(node, *junction["force_n"], 0.0, 0.0, 0.0)

    def solve(self, algorithm, stages):
        """Whether an algorithm finds equilibrium; the pipe begins stiffer, and softens to its own in `stages`."""
        opensees.constraints("Transformation")
        opensees.numberer("RCM")
        opensees.system("UmfPack")
        opensees.algorithm(algorithm)
        opensees.integrator("LoadControl", 1.0)
        opensees.analysis("Static")
        for tag, name in ((1, "Iy"), (2, "Iz")):
            opensees.parameter(tag, "element", 1, name)
            for element in range(2, len(self.along)):
                opensees.addToParameter(tag, "element", element, name)
        for power in range(stages, -1, -1):
            # Steps in metres and radians; rounding of stiff short elements forbids asking for less.
            opensees.test("NormDispIncr", 1e-10 if power == 0 else 1e-6, 60, 0)
            for tag in (1, 2):
                opensees.updateParameter(tag, self.pipe["bending_stiffness_nm2"] * 1.6**power)
            failed = opensees.analyze(1)
        return failed == 0

    def softest(self):
        """The least stiffness against any motion at the pose found."""
        opensees.system("FullGeneral")
        opensees.analyze(1)
        size = opensees.systemSize()
        stiffness = numpy.array(opensees.printA("-ret")).reshape(size, size)
        return float(numpy.linalg.eigvalsh((stiffness + stiffness.T) / 2)[0])

    def results(self):
        """Places of nodes, moments there (far side on near), pulls of lines, places of rings."""
        place = lambda node: numpy.array(opensees.nodeCoord(node)) + opensees.nodeDisp(node)[0:3]
        at = numpy.array([place(1 + i) for i in range(len(self.along))])
        moments = [-numpy.array(opensees.eleForce(1 + i))[3:6] for i in range(len(self.along) - 1)]
        moments.append(numpy.array(opensees.eleForce(len(self.along) - 1))[9:12])
        pulls = []
        for index, (line, ends) in enumerate(zip(self.case["lines"], self.line_ends)):
            near, far = _lines.inner_forces(line, place(ends[1]) - place(ends[0]))
            if line["weight_n_per_m"] == 0:
                own = opensees.eleResponse(100000 + index, "axialForce")[0]
                assert abs(own - numpy.linalg.norm(near)) < 1e-6 * (1 + own), "OpenSees' truss means something else"
            pulls.append((near, -far))
        return {"along": numpy.array(self.along), "at": at, "moments": numpy.array(moments), "pulls": pulls,
                "rings": numpy.array([place(node) for node in self.ring_nodes]).reshape(-1, 3)}


def by_opensees(case, finer, pose):
    # Its talk about each step that fails goes nowhere; what matters is asserted.
    opensees.logFile(os.devnull, "-noEcho")
    for stages in (0, STAGES):
        for algorithm in ("Newton", "NewtonLineSearch"):
            chain = Chain(case, finer, pose)
            if chain.solve(algorithm, stages):
                return chain
    raise AssertionError(f"{case['name']}: OpenSees did not converge")


# ---- scipy: the bending curve ----


class Curve:
    """The differential equations from event to event, and what must hold between.

    Unknowns: at the beginning of each stretch place, direction, moment and force (far side on near), the last
    two in units of the whole weight; then the places of junctions.
    """

    def __init__(self, case):
        self.case, self.pipe, self.unit = case, case["pipes"][0], whole_weight(case)
        self.stops = events(case)
        self.stretches = list(zip(self.stops, self.stops[1:]))
        self.junctions = len(case["junctions"])

    def rates(self, spread):
        bend = self.unit / self.pipe["bending_stiffness_nm2"]
        pull = self.unit / self.pipe["axial_stiffness_n"]
        spread = spread / self.unit

        def rates(_, flat):
            r, t, moment, force = flat.reshape(4, 3, -1)
            out = numpy.empty((4, 3, r.shape[1]))
            out[0] = (1 + pull * (force * t).sum(axis=0)) * t
            out[1] = bend * numpy.cross(moment, t, axis=0)
            out[2] = -numpy.cross(out[0], force, axis=0)
            out[3] = -spread[:, None]
            return out.ravel()

        return rates

    def run(self, states, dense=False):
        """States at the far ends of stretches; columns of `states[k]` are run side by side."""
        out = []
        for (a, b), state in zip(self.stretches, states):
            found = solve_ivp(self.rates(spread_force(self.pipe, a, b)), (a, b), state.ravel(), "DOP853",
                              rtol=1e-13, atol=1e-13, dense_output=dense)
            out.append(found.sol if dense else found.y[:, -1].reshape(12, -1))
        return out

    def pulls(self, places, rings):
        """Inner forces at the two ends of each line, in newtons; and what they add at each event and ring."""
        at_event, at_ring, forces = {s: numpy.zeros(3) for s in self.stops}, numpy.zeros((self.junctions, 3)), []
        for line in self.case["lines"]:
            ends = [place_of(self.case, line[end], places.__getitem__, rings) for end in ("from", "to")]
            near, far = _lines.inner_forces(line, ends[1] - ends[0])
            forces.append((near, far))
            for (kind, index), pull in ((line["from"], near), (line["to"], -far)):
                if kind == "junction":
                    at_ring[index] += pull
                elif kind == "pipe_pick":
                    at_event[self.case["pipe_picks"][index]["along_m"]] += pull
        for load in self.pipe["point_loads"]:
            at_event[load["along_m"]] += load["force_n"]
        at_ring += numpy.array([j["force_n"] for j in self.case["junctions"]]).reshape(-1, 3)
        return at_event, at_ring, forces

    def conditions(self, near, far, rings):
        """What must vanish, given states at the beginnings and ends of stretches, and places of junctions."""
        near, far = near.reshape(-1, 4, 3), far.reshape(-1, 4, 3)
        rings = rings.reshape(-1, 3)
        places = {a: state[0] for (a, _), state in zip(self.stretches, near)}
        places[self.stops[-1]] = far[-1][0]
        at_event, at_ring, _ = self.pulls(places, rings)
        out = [near[0][2], [near[0][1] @ near[0][1] - 1], near[0][3] + at_event[0.0] / self.unit]
        for s, before, after in zip(self.stops[1:], far, near[1:]):
            out += [after[0] - before[0], after[3] - before[3] + at_event[s] / self.unit]
            if s in self.pipe["hinges_along_m"]:
                out += [before[2][1:], after[2], [after[1] @ after[1] - 1]]
            else:
                out += [after[1] - before[1], after[2] - before[2]]
        # The moment along a pipe that nothing twists vanishes of itself, so two components say all.
        out += [far[-1][2][1:], at_event[self.stops[-1]] / self.unit - far[-1][3], at_ring.ravel() / self.unit]
        return numpy.concatenate(out)

    def solve(self, near, rings):
        """Newton from a start; differences for the slopes, each stretch by itself."""
        count = len(self.stretches)
        unknowns = numpy.concatenate([near.ravel(), rings.ravel()])
        split = lambda x: (x[:12 * count].reshape(count, 12), x[12 * count:])

        def residual(x):
            near, rings = split(x)
            return self.conditions(near, numpy.array([y[:, 0] for y in self.run(near[:, :, None])]), rings)

        value = residual(unknowns)
        for _ in range(40):
            near, rings = split(unknowns)
            # A breath for what may come taut or slack in a breath; more for what is integrated.
            nudge, breath = 1e-7, 1e-10
            nudged = [state[:, None] + numpy.hstack([numpy.zeros((12, 1)), nudge * numpy.eye(12)]) for state in near]
            ran = self.run(nudged)
            far = numpy.array([y[:, 0] for y in ran])
            slopes = numpy.zeros((len(value), len(unknowns)))
            base = self.conditions(near, far, rings)
            far_slopes = numpy.zeros((len(value), 12 * count))
            for i in range(12 * count):
                moved = near.ravel().copy()
                moved[i] += breath
                slopes[:, i] = (self.conditions(moved, far, rings) - base) / breath
                moved = far.ravel().copy()
                moved[i] += breath
                far_slopes[:, i] = (self.conditions(near, moved, rings) - base) / breath
            for k, y in enumerate(ran):
                across = (y[:, 1:] - y[:, :1]) / nudge
                slopes[:, 12 * k: 12 * k + 12] += far_slopes[:, 12 * k: 12 * k + 12] @ across
            for i in range(len(rings)):
                moved = rings.copy()
                moved[i] += breath
                slopes[:, 12 * count + i] = (self.conditions(near, far, moved) - base) / breath
            step = numpy.linalg.solve(slopes, -value)
            share = 1.0
            while share > 1e-3:
                trial = residual(unknowns + share * step)
                if numpy.linalg.norm(trial) < numpy.linalg.norm(value):
                    break
                share /= 2
            # No step makes it smaller any more: rounding is reached, or the search has failed.
            if share <= 1e-3:
                break
            unknowns, value = unknowns + share * step, trial
        assert numpy.abs(value).max() < 1e-9, f"{self.case['name']}: left {numpy.abs(value).max()} of the weight"
        self.left = float(numpy.abs(value).max())
        return split(unknowns)


def begin(case, chain):
    """States at the beginnings of stretches as the chain of elements has them."""
    curve = Curve(case)
    near = []
    for a, b in curve.stretches:
        inside = (chain["along"] >= a - 1e-12) & (chain["along"] <= b + 1e-12)
        along, at, moments = (chain[key][inside] for key in ("along", "at", "moments"))
        # A parabola through three nodes gives the direction at the first.
        h = along[1] - along[0]
        direction = (4 * at[1] - 3 * at[0] - at[2]) / (2 * h)
        near.append([at[0], direction / numpy.linalg.norm(direction), moments[0] / curve.unit, numpy.zeros(3)])
    places = {a: numpy.array(state[0]) for (a, _), state in zip(curve.stretches, near)}
    places[curve.stops[-1]] = chain["at"][-1]
    at_event, _, _ = curve.pulls(places, chain["rings"])
    force = numpy.zeros(3)
    for (a, b), state in zip(curve.stretches, near):
        force = force - at_event[a] / curve.unit
        state[3] = force
        force = force - spread_force(curve.pipe, a, b) * (b - a) / curve.unit
    return curve, numpy.array(near).reshape(-1, 12), chain["rings"]


def greatest(curve, sols, measure):
    """The greatest of a measure of the state, and where; at an event, on the side where it is greater."""
    found = []
    for (a, b), sol in zip(curve.stretches, sols):
        along = numpy.linspace(a, b, 201)
        values = [measure(sol(s)) for s in along]
        index = int(numpy.argmax(values))
        found.append((values[index], along[index]))
        if 0 < index < 200:
            fine = minimize_scalar(lambda s: -measure(sol(s)), bounds=(along[index - 1], along[index + 1]),
                                   method="bounded", options={"xatol": 1e-10})
            found.append((-fine.fun, fine.x))
    value, along = max(found)
    # What is left of the whole weight by rounding is nothing, and nowhere.
    value, along = (value, along) if value > 1e-9 * curve.unit else (0.0, 0.0)
    return {"value": float(value), "along_m": float(along)}


def floats(values):
    return [float(x) for x in values]


def answer(curve, near, rings):
    case, pipe, unit = curve.case, curve.pipe, curve.unit
    sols = curve.run(near[:, :, None], dense=True)
    # A hinge's far side is meant where two stretches meet; only the direction differs there.
    stretch = lambda s: max(k for k, (a, _) in enumerate(curve.stretches) if a <= s)
    state = lambda s: sols[min(stretch(s), len(sols) - 1)](s)
    along = lambda y: float(y[9:12] @ y[3:6]) * unit
    across = lambda y: float(numpy.linalg.norm(y[9:12] - (y[9:12] @ y[3:6]) * y[3:6])) * unit
    picks = sorted({pick["along_m"] for pick in case["pipe_picks"]})
    bays = []
    for a, b in zip(picks, picks[1:]):
        middle = state((a + b) / 2)[0:3]
        start, chord = state(a)[0:3], state(b)[0:3] - state(a)[0:3]
        off = middle - start - ((middle - start) @ chord) / (chord @ chord) * chord
        bays.append({"along_m": (a + b) / 2, "at_m": floats(middle), "off_chord_m": float(numpy.linalg.norm(off))})
    places = {s: state(s)[0:3] for s in curve.stops}
    _, _, forces = curve.pulls(places, rings.reshape(-1, 3))
    lines, on_points = [], [[0.0, 0.0, 0.0] for _ in case["points"]]
    for line, (from_pull, to_pull) in zip(case["lines"], forces):
        ends = [place_of(case, line[end], places.__getitem__, rings.reshape(-1, 3)) for end in ("from", "to")]
        lines.append(_lines.answer(line, from_pull, to_pull, ends[1] - ends[0]))
    sum_on_points(case, lines, on_points)
    most = lambda measure: greatest(curve, sols, measure)
    return {
        "junctions_m": [floats(place) for place in rings.reshape(-1, 3)],
        "loads": [],
        "pipes": [{
            "start_m": floats(state(0.0)[0:3]), "end_m": floats(places[curve.stops[-1]]),
            "picks": [{"along_m": s, "at_m": floats(state(s)[0:3]), "moment_nm": floats(state(s)[6:9] * unit)}
                      for s in picks],
            "mid_bays": bays,
            "greatest_moment_nm": most(lambda y: float(numpy.linalg.norm(y[6:9])) * unit),
            "greatest_shear_n": most(across),
            "greatest_tension_n": most(along),
            "greatest_compression_n": most(lambda y: -along(y)),
        }],
        "lines": lines,
        "force_on_points_n": on_points,
    }, state


def solve(case):
    """The answer, and how far OpenSees' differs from it: coarse, fine, and drawn on to no elements at all."""
    pose = stiff_pose(case)
    assert by_opensees(case, 2, pose).softest() > 0, f"{case['name']}: OpenSees' pose is not stable"
    coarse, fine = [by_opensees(case, finer, pose).results() for finer in (FINER, 2 * FINER)]
    curve, near, rings = begin(case, fine)
    near, rings = curve.solve(near, rings)
    case["answer"], state = answer(curve, near, rings)
    case["agreement"] = agreement(case, coarse, fine, state, curve)
    return case


def agreement(case, coarse, fine, state, curve):
    """Greatest differences: of a force by the greatest tension, of a place, of a moment by the greatest moment."""
    found = case["answer"]
    moment_unit = found["pipes"][0]["greatest_moment_nm"]["value"]
    force_unit = max(max(line["tension_at_from_n"], line["tension_at_to_n"]) for line in found["lines"])
    forces = numpy.array([(line["pull_on_from_n"], line["pull_on_to_n"]) for line in found["lines"]])
    # A hinge carries no moment, so the states of either side agree in what is compared.
    exact = numpy.array([state(s) for s in coarse["along"]])
    rings = numpy.array(found["junctions_m"]).reshape(-1, 3)

    def gaps(pulls, at, moments, of_rings):
        return {"force": numpy.abs(pulls - forces).max() / force_unit,
                "place_m": max([numpy.abs(at - exact[:, 0:3]).max(), *numpy.abs(of_rings - rings).ravel()]),
                "moment": numpy.abs(moments - exact[:, 6:9] * curve.unit).max() / moment_unit}

    doubled = lambda key: numpy.array(fine[key])[::2]
    onward = {key: (4 * doubled(key) - coarse[key]) / 3 for key in ("at", "moments")}
    pulls = (4 * numpy.array(fine["pulls"]) - numpy.array(coarse["pulls"])) / 3
    rounded_off = lambda gap: {key: float(f"{value:.1e}") for key, value in gap.items()}
    return {
        "with": "OpenSees",
        "elements": [len(coarse["along"]) - 1, len(fine["along"]) - 1],
        "coarse": rounded_off(gaps(numpy.array(coarse["pulls"]), coarse["at"], coarse["moments"], coarse["rings"])),
        "fine": rounded_off(gaps(numpy.array(fine["pulls"]), doubled("at"), doubled("moments"), fine["rings"])),
        "limit": rounded_off(gaps(pulls, onward["at"], onward["moments"],
                                  (4 * fine["rings"] - coarse["rings"]) / 3)),
    }
