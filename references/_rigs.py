"""A rig in plain numbers: rigid loads, junctions without mass, and lines that only pull; where it hangs.

A rig is what letgo-reference.json keeps of one. Nodes are all points, then all picks, then all junctions. A pose is
the centres of gravity of the loads, their rotation matrices, and the places of junctions.
"""

import numpy
from scipy.optimize import minimize, root
from scipy.spatial.transform import Rotation

GRAVITY = 9.80665


class Rig:
    """Arrays of a rig, without the lines named by their numbers."""

    def __init__(self, given, without=()):
        self.loads, self.junctions = given["loads"], given["junctions"]
        points, picks = given["points"], given["picks"]
        self.weight = numpy.array([load["weight_n"] for load in self.loads])
        self.inertia = numpy.array([load["inertia_kg_m2"] for load in self.loads])
        self.ring_weight = numpy.array([junction["weight_n"] for junction in self.junctions])
        self.points = numpy.array(points).reshape(-1, 3)
        self.load_of = numpy.array([pick["load"] for pick in picks])
        centres = numpy.array([load["centre_m"] for load in self.loads])
        self.arms = numpy.array([pick["at_m"] for pick in picks]) - centres[self.load_of]
        # Sums over picks for each load.
        self.onto = (self.load_of[None, :] == numpy.arange(len(self.loads))[:, None]).astype(float)
        first = {"point": 0, "pick": len(points), "junction": len(points) + len(picks)}
        self.picked = slice(first["pick"], first["junction"])
        self.ringed = slice(first["junction"], first["junction"] + len(self.junctions))
        self.nodes = self.ringed.stop
        self.kept = [number for number in range(len(given["lines"])) if number not in without]
        lines = [given["lines"][number] for number in self.kept]
        self.unloaded = numpy.array([line["unloaded_length_m"] for line in lines])
        self.rate = numpy.array([line["stiffness_n"] for line in lines]) / self.unloaded
        self.damping = numpy.array([line["damping_n_s_per_m"] for line in lines])
        paths = [[first[kind] + index for kind, index in line["path"]] for line in lines]
        self.on_ring = numpy.array([any(node >= self.ringed.start for node in path) for path in paths])
        self.segments([(line, a, b) for line, path in enumerate(paths) for a, b in zip(path, path[1:])])

    def segments(self, all_of_them):
        """Straight pieces of lines: of which line, from and to which node."""
        self.line_of, self.tail, self.head = (numpy.array(column) for column in zip(*all_of_them))
        self.adds = (self.line_of[None, :] == numpy.arange(len(self.kept))[:, None]).astype(float)
        self.meets = numpy.zeros((len(self.line_of), self.nodes))
        self.meets[numpy.arange(len(self.line_of)), self.head] += 1.0
        self.meets[numpy.arange(len(self.line_of)), self.tail] -= 1.0

    def at(self, centres, turns, rings):
        """Places of all nodes, and picks from the centres of their loads."""
        arms = (turns[self.load_of] @ self.arms[:, :, None])[:, :, 0]
        return numpy.concatenate([self.points, centres[self.load_of] + arms, rings]), arms

    def stretch(self, places):
        """How much longer than itself each line is, and the directions and lengths of its pieces."""
        along = places[self.head] - places[self.tail]
        length = numpy.sqrt((along * along).sum(axis=1))
        return self.adds @ length - self.unloaded, along / length[:, None], length

    def energy_and_slope(self, centres, turns, rings):
        """Energy; how it changes as loads move, as they turn about their centres, and as junctions move."""
        places, arms = self.at(centres, turns, rings)
        stretch, along, _ = self.stretch(places)
        tension = self.rate * numpy.maximum(0.0, stretch)
        energy = 0.5 * (tension * numpy.maximum(0.0, stretch)).sum()
        energy += self.weight @ centres[:, 2] + self.ring_weight @ rings[:, 2]
        slope = self.meets.T @ (tension[self.line_of][:, None] * along)
        on_picks, on_rings = slope[self.picked], slope[self.ringed].copy()
        move = self.onto @ on_picks
        move[:, 2] += self.weight
        on_rings[:, 2] += self.ring_weight
        return energy, move, self.onto @ cross(arms, on_picks), on_rings

    def tensions(self, pose):
        stretch, _, _ = self.stretch(self.at(*pose)[0])
        return self.rate * numpy.maximum(0.0, stretch)


def cross(a, b):
    """Faster than numpy.cross for a few rows."""
    x, y, z = a[:, 0], a[:, 1], a[:, 2]
    u, v, w = b[:, 0], b[:, 1], b[:, 2]
    return numpy.stack([y * w - z * v, z * u - x * w, x * v - y * u], axis=1)


def skew(of):
    return numpy.array([[0.0, -of[2], of[1]], [of[2], 0.0, -of[0]], [-of[1], of[0], 0.0]])


def turned_by(turn):
    """How fast a load turns as its rotation vector changes."""
    angle = numpy.linalg.norm(turn)
    if angle < 1e-6:
        return numpy.eye(3) + 0.5 * skew(turn)
    by = skew(turn)
    return numpy.eye(3) + (1 - numpy.cos(angle)) / angle**2 * by + (angle - numpy.sin(angle)) / angle**3 * by @ by


class Around:
    """Poses around one pose, by six numbers a load (moves, rotation vectors) and three a junction."""

    def __init__(self, rig, pose):
        self.rig, self.pose = rig, pose
        self.loads = len(rig.loads)
        self.size = 6 * self.loads + 3 * len(rig.junctions)

    def pose_at(self, unknowns):
        centres, turns, rings = self.pose
        of_loads = unknowns[: 6 * self.loads].reshape(-1, 2, 3)
        by = Rotation.from_rotvec(of_loads[:, 1]).as_matrix()
        return centres + of_loads[:, 0], by @ turns, rings + unknowns[6 * self.loads:].reshape(-1, 3)

    def energy_and_slope(self, unknowns):
        energy, move, turn, rings = self.rig.energy_and_slope(*self.pose_at(unknowns))
        turns = unknowns[: 6 * self.loads].reshape(-1, 2, 3)[:, 1]
        turn = numpy.stack([turned_by(of).T @ slope for of, slope in zip(turns, turn)])
        return energy, numpy.concatenate([numpy.stack([move, turn], axis=1).ravel(), rings.ravel()])

    def slope(self, unknowns):
        return self.energy_and_slope(unknowns)[1]

    def slopes(self, step=1e-6):
        """How the slope changes, by differences."""
        columns = []
        for index in range(self.size):
            by = numpy.zeros(self.size)
            by[index] = step
            columns.append((self.slope(by) - self.slope(-by)) / (2 * step))
        return numpy.array(columns)


def hang(rig, pose):
    """The equilibrium that scipy's BFGS comes to from a pose, then the root of the balance close by; or none.

    None as well where nothing much holds it: a pose that is not the only one there says little.
    """
    for _ in range(6):
        around = Around(rig, pose)
        found = minimize(around.energy_and_slope, numpy.zeros(around.size), jac=True, method="BFGS",
                         options={"gtol": 1e-5, "maxiter": 2000})
        pose = around.pose_at(found.x)
    around = Around(rig, pose)
    exact = root(around.slope, numpy.zeros(around.size), jac=lambda _: around.slopes(), method="hybr", tol=1e-14)
    if numpy.abs(exact.x).max() > 1e-4 or numpy.abs(around.slope(exact.x)).max() > 1e-6:
        return None
    pose = around.pose_at(exact.x)
    slopes = Around(rig, pose).slopes()
    held = numpy.linalg.eigvalsh(0.5 * (slopes + slopes.T)).min()
    return pose if held > 5.0 else None
