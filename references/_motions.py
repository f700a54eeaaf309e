"""Rigs followed in time: Newton's and Euler's equations by scipy's LSODA.

A load is its centre of gravity, its rotation matrix (nine numbers that stay one by themselves), its momentum and its
angular momentum in the axes of the world. Junctions have no mass: at every moment they are where what lines store, less
what their weight does, is least. A damped line on a junction pulls k e with its load where that will be after c / k.
"""

import numpy
from scipy.integrate import solve_ivp
from scipy.optimize import minimize

from _rigs import GRAVITY, cross

# Spacing at which tensions are read from the solver's own interpolation, and parts of it where they are highest, s.
EVERY_S, FINE_PARTS = 2e-4, 20
# No step is longer, so that no touch of a line is missed, s.
MOST_STEP_S = 1e-3
OF_LOAD = 18


class Falling:
    """A rig on its way."""

    def __init__(self, rig, pose):
        self.rig = rig
        self.rings = pose[2].copy()
        self.masses = rig.weight / GRAVITY
        leads = rig.damping / rig.rate
        on_rings = leads[rig.on_ring]
        assert not len(on_rings) or numpy.ptp(on_rings) < 1e-12, "lines on junctions are to have one c / k"
        self.lead = on_rings[0] if len(on_rings) else 0.0
        pieces = rig.on_ring[rig.line_of]
        self.on_ring = numpy.where(pieces)[0]
        self.meets_ring = rig.meets[:, rig.ringed][self.on_ring]
        # Pieces of lines on junctions stand between nodes as they will be after the lead.
        shift = rig.nodes * pieces
        self.tail, self.head = rig.tail + shift, rig.head + shift

    def first(self, pose):
        centres, turns, _ = pose
        still = numpy.zeros((len(centres), 6))
        return numpy.concatenate([centres, turns.reshape(-1, 9), still], axis=1).ravel()

    def pulls(self, state):
        """Tensions, with what goes with them: directions of pieces, arms, speeds of turning."""
        rig, state = self.rig, state.reshape(-1, OF_LOAD)
        turns, arms = state[:, 3:12].reshape(-1, 3, 3), None
        own = numpy.einsum("bji,bj->bi", turns, state[:, 15:18]) / rig.inertia
        spins = numpy.einsum("bij,bj->bi", turns, own)
        places, arms = rig.at(state[:, 0:3], turns, self.rings)
        speeds = numpy.zeros_like(places)
        speed = state[:, 12:15] / self.masses[:, None]
        speeds[rig.picked] = speed[rig.load_of] + cross(spins[rig.load_of], arms)
        ahead = places + self.lead * speeds
        if len(rig.junctions):
            self.settle(ahead)
        both = numpy.concatenate([places, ahead])
        along = both[self.head] - both[self.tail]
        length = numpy.sqrt((along * along).sum(axis=1))
        along /= length[:, None]
        stretch = rig.adds @ length - rig.unloaded
        growing = rig.adds @ ((speeds[rig.head] - speeds[rig.tail]) * along).sum(axis=1)
        pull = rig.rate * stretch + numpy.where(rig.on_ring, 0.0, rig.damping) * growing
        tension = numpy.where(stretch > 0.0, numpy.maximum(0.0, pull), 0.0)
        return tension, along, arms, spins

    def change(self, _, state):
        rig = self.rig
        tension, along, arms, spins = self.pulls(state)
        force = -(rig.meets.T @ (tension[rig.line_of][:, None] * along))[rig.picked]
        state = state.reshape(-1, OF_LOAD)
        out = numpy.empty_like(state)
        out[:, 0:3] = state[:, 12:15] / self.masses[:, None]
        # Columns of a rotation matrix go round with the load.
        for axis in range(3):
            out[:, 3 + axis:12:3] = cross(spins, state[:, 3 + axis:12:3])
        out[:, 12:15] = rig.onto @ force
        out[:, 14] -= rig.weight
        out[:, 15:18] = rig.onto @ cross(arms, force)
        return out.ravel()

    def settle(self, places):
        """Puts junctions where the energy is least: Newton, each step shortened until it helps; scipy where that fails."""
        rig = self.rig
        lines = rig.line_of[self.on_ring]
        tail, head = rig.tail[self.on_ring], rig.head[self.on_ring]

        def look(rings, with_slopes=True):
            places[rig.ringed] = rings
            along = places[head] - places[tail]
            length = numpy.sqrt((along * along).sum(axis=1))
            along /= length[:, None]
            stretch = numpy.maximum(0.0, length - rig.unloaded[lines])
            tension = rig.rate[lines] * stretch
            energy = 0.5 * tension @ stretch + rig.ring_weight @ rings[:, 2]
            slope = self.meets_ring.T @ (tension[:, None] * along)
            slope[:, 2] += rig.ring_weight
            if not with_slopes:
                return energy, slope.ravel()
            taut = numpy.where(stretch > 0.0, rig.rate[lines], 0.0)
            across = (tension / length)[:, None, None] * numpy.eye(3)
            across = across + (taut - tension / length)[:, None, None] * along[:, :, None] * along[:, None, :]
            slopes = numpy.einsum("si,sj,sab->iajb", self.meets_ring, self.meets_ring, across)
            return energy, slope.ravel(), slopes.reshape(slope.size, slope.size)

        rings = self.rings
        energy, slope, slopes = look(rings)
        for _ in range(60):
            if numpy.abs(slope).max() < 1e-8:
                break
            shift = 1e-10 * max(1.0, slopes.diagonal().max())
            step = -numpy.linalg.solve(slopes + shift * numpy.eye(len(slope)), slope)
            step *= min(1.0, 1.0 / numpy.abs(step).max())
            share, least = 1.0, energy
            while share > 1e-9:
                energy, new_slope, slopes = look(rings + share * step.reshape(-1, 3))
                # Close to balance energies no longer tell; the unbalanced force does.
                if energy < least or numpy.abs(new_slope).max() < 0.5 * numpy.abs(slope).max():
                    break
                share *= 0.5
            rings, slope = rings + share * step.reshape(-1, 3), new_slope
            if numpy.abs(share * step).max() < 1e-15:
                break
        if numpy.abs(slope).max() > 1e-5:
            found = minimize(lambda x: look(x.reshape(-1, 3), False), rings.ravel(), jac=True, method="BFGS",
                             options={"gtol": 1e-9})
            rings = found.x.reshape(-1, 3)
            assert numpy.abs(found.jac).max() < 1e-4, f"junctions do not settle: {numpy.abs(found.jac).max()} N left"
        self.rings = rings
        places[rig.ringed] = rings

    def energy(self, state):
        """Of movement and of everything; for what is not damped."""
        rig, of = self.rig, state.reshape(-1, OF_LOAD)
        self.pulls(state)
        own = numpy.einsum("bji,bj->bi", of[:, 3:12].reshape(-1, 3, 3), of[:, 15:18])
        moving = 0.5 * ((of[:, 12:15] ** 2).sum(axis=1) / self.masses).sum() + 0.5 * (own**2 / rig.inertia).sum()
        stored = rig.energy_and_slope(of[:, 0:3], of[:, 3:12].reshape(-1, 3, 3), self.rings)[0]
        return moving, moving + stored


def follow(rig, pose, seconds, relative=1e-10, moved=0.0):
    """Times, tensions of all lines that are there, and how far energy is off over the greatest of movement."""
    falling = Falling(rig, pose)
    start = falling.first(pose)
    start[0::OF_LOAD] += moved
    begun = falling.energy(start)[1]
    absolute = relative * numpy.tile(numpy.repeat([0.1, 0.1, 10.0], [3, 9, 6]), len(rig.loads))
    ran = solve_ivp(falling.change, (0.0, seconds), start, method="LSODA", rtol=relative, atol=absolute,
                    max_step=MOST_STEP_S, dense_output=True)
    assert ran.success, ran.message
    times = numpy.linspace(0.0, seconds, int(round(seconds / EVERY_S)) + 1)

    def read(times):
        falling.rings = pose[2].copy()
        return numpy.array([falling.pulls(state)[0] for state in ran.sol(times).T]).reshape(-1, len(rig.kept))

    # Where one line goes slack another may have a top as sharp as a roof.
    tensions = read(times)
    fine = numpy.linspace(-EVERY_S, EVERY_S, 2 * FINE_PARTS + 1)
    closer = numpy.unique((times[highest_yet(tensions)][:, None] + fine).ravel())
    closer = numpy.setdiff1d(closer[(closer >= 0.0) & (closer <= seconds)], times)
    times, tensions = numpy.concatenate([times, closer]), numpy.concatenate([tensions, read(closer)])
    order = times.argsort()
    times, tensions = times[order], tensions[order]
    energies = numpy.array([falling.energy(state) for state in ran.y.T[::50]])
    return times, tensions, numpy.abs(energies[:, 1] - begun).max() / energies[:, 0].max()


def peaks(times, tensions, seconds):
    """The greatest tension of each line within so many seconds, and when."""
    within = times <= seconds + 1e-9
    return [top(times[within], of[within]) for of in tensions.T]


def rings_let_go(rig, pose):
    """Where junctions are at the first instant."""
    falling = Falling(rig, pose)
    falling.pulls(falling.first(pose))
    return falling.rings


def highest_yet(tensions):
    """Where any line has a top that is about as high as all before."""
    inner = tensions[1:-1]
    is_top = (inner >= tensions[:-2]) & (inner > tensions[2:])
    before = numpy.maximum.accumulate(tensions, axis=0)[1:-1]
    return 1 + numpy.where((is_top & (inner > 0.99 * before)).any(axis=1))[0]


def top(times, values):
    """The greatest of values, by a parabola through it and those beside it, and when."""
    at = int(values.argmax())
    if at in (0, len(values) - 1):
        return float(values[at]), float(times[at])
    bend, slope, height = numpy.polyfit(times[at - 1: at + 2] - times[at], values[at - 1: at + 2], 2)
    if bend >= 0.0:
        return float(values[at]), float(times[at])
    return float(height - 0.25 * slope**2 / bend), float(times[at] - 0.5 * slope / bend)
