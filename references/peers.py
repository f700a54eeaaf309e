"""How long general-purpose libraries take for rigs and logs that the benches of crates/statics, crates/motion and crates/proving time.

    python references/peers.py                        prints medians as JSON
    python references/peers.py --beside FOLDER        prints them beside ours, which criterion left in FOLDER

The four-leg hang and the nets are those of crates/statics/benches/equilibrium/rigs.rs and the plate that of
crates/motion/tests/support.rs, number for number; the other rigs are described where they are made below. All run in
this one process, on one thread, after a warm-up (but for the largest net, which runs once); each search begins at the
drawn pose. Every answer is checked before its time counts: hangs and let-gos against another way of solving, the rest
by what remains unbalanced.

Needs references/requirements.txt.
"""

import json
import os
import pathlib
import statistics
import sys
import time
from importlib.metadata import version

# Said before numpy is loaded, which reads it then.
for _name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[_name] = "1"

import mujoco  # noqa: E402
import numpy  # noqa: E402
import scipy.optimize  # noqa: E402
import scipy.sparse  # noqa: E402
import scipy.sparse.linalg  # noqa: E402
from scipy.spatial.transform import Rotation  # noqa: E402

import _mujoco  # noqa: E402
from _answers import libraries  # noqa: E402
from _logs import time_logs  # noqa: E402
from _motions import follow, peaks  # noqa: E402
from _opensees import opensees  # noqa: E402
from _rigs import GRAVITY, Rig, hang  # noqa: E402

SAMPLES, SUBSET, SEED = 10_000, 50, 1807


def median(run, times, warm_up=1):
    """Median seconds of `times` runs, and what the last one returned."""
    for _ in range(warm_up):
        result = run()
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        result = run()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken), result


# ---- hangs ----


class Hang:
    """A rigid load on straight elastic lines; the weight of a line lies half at each end."""

    def __init__(self, weight, centre, drawn, tops, picks, stiffness, line_weight):
        self.weight, self.line_weight = weight, line_weight
        self.centre = drawn + centre
        self.tops, self.arms = tops, picks - centre
        self.stiffness = numpy.full(len(tops), stiffness)
        self.unloaded = numpy.linalg.norm(drawn + picks - tops, axis=1)

    def pull(self, places, arms, unloaded):
        """Gradient and slopes of the energy of many poses at once; and the energy. Turns are about the centre."""
        apart = places[:, None, :] + arms - self.tops
        length = numpy.linalg.norm(apart, axis=2)
        along = apart / length[..., None]
        rate = self.stiffness / unloaded
        stretch = numpy.maximum(0.0, length - unloaded)
        tension = rate * stretch
        gradient = tension[..., None] * along
        gradient[..., 2] += self.line_weight / 2
        taut = numpy.where(length >= unloaded, rate, 0.0)
        slack_free = tension / length
        across = numpy.eye(3) * slack_free[..., None, None]
        slopes = across + (taut - slack_free)[..., None, None] * along[..., :, None] * along[..., None, :]
        # Moving by d and turning by w moves a pick by d - r x w.
        spin = numpy.zeros(arms.shape + (3,))
        spin[..., 0, 1], spin[..., 0, 2], spin[..., 1, 2] = -arms[..., 2], arms[..., 1], -arms[..., 0]
        spin -= numpy.swapaxes(spin, -1, -2)
        lever = numpy.concatenate([numpy.broadcast_to(numpy.eye(3), spin.shape), -spin], axis=-1)
        whole = numpy.einsum("nlia,nlij,nljb->nab", lever, slopes, lever)
        outer = gradient[..., :, None] * arms[..., None, :]
        inner = (gradient * arms).sum(axis=2)[..., None, None] * numpy.eye(3)
        whole[:, 3:, 3:] += (0.5 * (outer + numpy.swapaxes(outer, -1, -2)) - inner).sum(axis=1)
        slope = numpy.einsum("nlia,nli->na", lever, gradient)
        slope[:, 2] += self.weight
        energy = (0.5 * rate * stretch**2).sum(axis=1) + self.weight * places[:, 2]
        energy += self.line_weight / 2 * (places[:, None, 2] + arms[..., 2]).sum(axis=1)
        return energy, slope, whole

    def balance(self, unknowns, unloaded):
        """Unbalanced force and moment, for scipy; metres and a rotation vector."""
        turned = Rotation.from_rotvec(unknowns[3:]).apply(self.arms)
        return self.pull(unknowns[None, :3], turned[None], unloaded[None])[1][0]

    def by_root(self, unloaded):
        start = [*self.centre, 0.0, 0.0, 0.0]
        return scipy.optimize.root(self.balance, start, args=(unloaded,), method="hybr", tol=1e-10).x

    def by_least_squares(self, unloaded):
        start = [*self.centre, 0.0, 0.0, 0.0]
        return scipy.optimize.least_squares(self.balance, start, args=(unloaded,), xtol=1e-14, ftol=1e-14,
                                            gtol=1e-10).x

    def by_newton(self, unloaded):
        """Newton on many samples at once, each damped until its energy falls; poses, and what is left over."""
        count = len(unloaded)
        places = numpy.tile(self.centre, (count, 1))
        arms = numpy.tile(self.arms, (count, 1, 1))
        energy, slope, slopes = self.pull(places, arms, unloaded)
        turned = numpy.tile(numpy.eye(3), (count, 1, 1))
        going = numpy.arange(count)
        # Drawn, no line carries anything yet, and nothing but this holds the load sideways.
        shift = numpy.full(count, 1e2)
        for _ in range(100):
            going = going[numpy.abs(slope[going]).max(axis=1) > 1e-9 * self.weight]
            if not len(going):
                break
            held = slopes[going] + shift[going, None, None] * numpy.eye(6)
            step = -numpy.linalg.solve(held, slope[going][..., None])[..., 0]
            new_places = places[going] + step[:, :3]
            new_turned = Rotation.from_rotvec(step[:, 3:]).as_matrix() @ turned[going]
            new_arms = numpy.einsum("nij,lj->nli", new_turned, self.arms)
            new = self.pull(new_places, new_arms, unloaded[going])
            # Close to rest energies no longer tell; the unbalanced force does.
            better = (new[0] < energy[going]) | (numpy.abs(new[1]).max(axis=1) < numpy.abs(slope[going]).max(axis=1))
            taken = going[better]
            places[taken], turned[taken] = new_places[better], new_turned[better]
            energy[taken], slope[taken], slopes[taken] = (part[better] for part in new)
            shift[taken] = numpy.where(shift[taken] > 1.0, shift[taken] / 10, 0.0)
            missed = going[~better]
            shift[missed] = numpy.maximum(10 * shift[missed], 1e2)
        return places, numpy.abs(slope).max(axis=1)


def four_legs():
    """The four-leg hang of rigs.rs."""
    corners = numpy.array([[1.5, 1.0], [-1.5, 1.0], [-1.5, -1.0], [1.5, -1.0]])
    return Hang(
        weight=4000.0, centre=numpy.array([0.1, -0.05, -0.3]), drawn=numpy.array([0.0, 0.0, -6.0]),
        tops=numpy.column_stack([1.3 * corners[:, 0], 1.2 * corners[:, 1], numpy.zeros(4)]),
        picks=numpy.column_stack([corners, numpy.full(4, 0.2)]), stiffness=1.0e6, line_weight=8.0)


def eight_legs():
    """The same load on eight legs: the corners, and the middles of the edges."""
    at = numpy.array([[1.5, 1.0], [0.0, 1.0], [-1.5, 1.0], [-1.5, 0.0],
                      [-1.5, -1.0], [0.0, -1.0], [1.5, -1.0], [1.5, 0.0]])
    return Hang(
        weight=4000.0, centre=numpy.array([0.1, -0.05, -0.3]), drawn=numpy.array([0.0, 0.0, -6.0]),
        tops=numpy.column_stack([1.3 * at[:, 0], 1.2 * at[:, 1], numpy.zeros(8)]),
        picks=numpy.column_stack([at, numpy.full(8, 0.2)]), stiffness=1.0e6, line_weight=8.0)


def time_hang(hang):
    out = {}
    seconds, (places, left) = median(lambda: hang.by_newton(hang.unloaded[None]), 30)
    assert left.max() < 1e-6 * hang.weight
    out["own Newton in numpy, analytic slopes"] = {"seconds": seconds}
    ways = {"scipy.optimize.root, hybr": hang.by_root, "scipy.optimize.least_squares": hang.by_least_squares}
    for name, run in ways.items():
        seconds, pose = median(lambda: run(hang.unloaded), 15)
        gap = float(numpy.abs(pose[:3] - places[0]).max())
        # A way that stops elsewhere is said to, and not timed.
        out[name] = {"seconds": seconds} if gap < 1e-6 else {"note": f"stops {gap:.0e} m away from equilibrium"}
    return out


def time_spread(hang):
    dice = numpy.random.default_rng(SEED)
    lengths = hang.unloaded + dice.uniform(-0.005, 0.005, (SAMPLES, len(hang.unloaded)))
    seconds, (places, left) = median(lambda: hang.by_newton(lengths), 3)
    reached = float((left < 1e-6 * hang.weight).mean())
    solved, subset_seconds = 0, []
    for sample in range(SUBSET):
        start = time.perf_counter()
        pose = hang.by_root(lengths[sample])
        subset_seconds.append(time.perf_counter() - start)
        solved += bool(numpy.abs(pose[:3] - places[sample]).max() < 1e-6)
    return {
        "own Newton in numpy, all samples at once": {"seconds": seconds, "reached": reached},
        "scipy.optimize.root, hybr, one by one": {
            "seconds": statistics.mean(subset_seconds) * SAMPLES, "reached": solved / SUBSET,
            "note": f"extrapolated from {SUBSET} samples"},
    }


# ---- nets ----


def net(side):
    """The level net of rigs.rs: meshes of 1 m, edge held, 50 N on every node, EA 1e6 N, drawn unstretched."""
    index = lambda i, j: i * (side + 2) + j
    edge = lambda i: i in (0, side + 1)
    lines = [(index(i, j), index(i + 1, j)) for i in range(side + 1) for j in range(side + 2) if not edge(j)]
    lines += [(index(i, j), index(i, j + 1)) for i in range(side + 2) for j in range(side + 1) if not edge(i)]
    places = numpy.array([[i, j, 0.0] for i in range(side + 2) for j in range(side + 2)])
    free = numpy.array([not edge(i) and not edge(j) for i in range(side + 2) for j in range(side + 2)])
    return places, numpy.array(lines), free


def solve_net(places, lines, free, stiffness=1.0e6, unloaded=1.0, weight=50.0):
    """Sparse Newton on the energy, shifted until it falls; steps taken, factorisations, and what is left over."""
    places = places.copy()
    number = numpy.full(len(places), -1)
    number[free] = numpy.arange(free.sum())
    size = 3 * int(free.sum())
    ends = number[lines]
    both = numpy.concatenate([ends, ends], axis=1).reshape(-1, 4)
    rows, columns, signs = [], [], []
    for a, b, sign in ((0, 0, 1), (1, 1, 1), (0, 1, -1), (1, 0, -1)):
        live = (both[:, a] >= 0) & (both[:, b] >= 0)
        rows.append((live, both[live, a]))
        columns.append(both[live, b])
        signs.append(sign)
    three = numpy.arange(3)
    row = numpy.concatenate([(3 * r[:, None, None] + three[:, None]).repeat(3, axis=2).ravel() for _, r in rows])
    column = numpy.concatenate([(3 * c[:, None, None] + three[None, :]).repeat(3, axis=1).ravel() for c in columns])

    def measure(places, with_slopes):
        apart = places[lines[:, 1]] - places[lines[:, 0]]
        length = numpy.linalg.norm(apart, axis=1)
        along = apart / length[:, None]
        stretch = numpy.maximum(0.0, length - unloaded)
        tension = stiffness / unloaded * stretch
        energy = 0.5 * stiffness / unloaded * (stretch**2).sum() + weight * places[free, 2].sum()
        force = numpy.zeros_like(places)
        numpy.add.at(force, lines[:, 1], tension[:, None] * along)
        numpy.add.at(force, lines[:, 0], -tension[:, None] * along)
        force[:, 2] += weight
        if not with_slopes:
            return energy, force[free].ravel(), None
        taut = numpy.where(length >= unloaded, stiffness / unloaded, 0.0)
        block = (tension / length)[:, None, None] * numpy.eye(3)
        block = block + (taut - tension / length)[:, None, None] * along[:, :, None] * along[:, None, :]
        data = numpy.concatenate([sign * block[live].ravel() for sign, (live, _) in zip(signs, rows)])
        return energy, force[free].ravel(), scipy.sparse.csc_matrix((data, (row, column)), (size, size))

    energy, slope, slopes = measure(places, True)
    shift, factorisations, steps = 100.0, 0, 0
    identity = scipy.sparse.identity(size, format="csc")
    while numpy.abs(slope).max() > 1e-9 * weight * free.sum() and factorisations < 300:
        solver = scipy.sparse.linalg.splu(slopes + shift * identity, permc_spec="MMD_AT_PLUS_A",
                                          diag_pivot_thresh=0.0, options={"SymmetricMode": True})
        factorisations += 1
        trial = places.copy()
        trial[free] -= solver.solve(slope).reshape(-1, 3)
        there, slope_there, _ = measure(trial, False)
        if there < energy or numpy.abs(slope_there).max() < 0.5 * numpy.abs(slope).max():
            places, steps = trial, steps + 1
            energy, slope, slopes = measure(places, True)
            shift = shift / 10 if shift > 1e-6 else 0.0
        else:
            shift = max(4 * shift, 1e-3)
    return places, steps, factorisations, float(numpy.abs(slope).max())


def time_net(side, times):
    given = net(side)
    seconds, (places, steps, factorisations, left) = median(lambda: solve_net(*given), times, min(1, times - 1))
    assert left <= 1e-9 * 50.0 * side**2, f"net {side}: {left} N left after {factorisations} factorisations"
    return {"scipy.sparse.linalg.splu, own shifted Newton": {
        "seconds": seconds, "runs": times, "steps": steps, "factorisations": factorisations,
        "freedoms": 3 * side**2, "lowest_m": float(places[:, 2].min())}}


# ---- a pipe ----


def pipe_on_twelve_lines(beams_a_bay=4):
    """A steel tube 48.3 x 3.2 mm, 23 m, level, on twelve vertical lines each 2 m from 0.5 m on, of 4 m and EA 1e6 N,
    every third 5 mm longer; 200 N half-way along every second bay. Built and solved in OpenSees; tensions."""
    opensees.wipe()
    opensees.model("basic", "-ndm", 3, "-ndf", 6)
    opensees.geomTransf("Corotational", 1, 0.0, 1.0, 0.0)
    step = 2.0 / beams_a_bay
    along = [0.0] + [0.5 + step * i for i in range(11 * beams_a_bay + 1)] + [23.0]
    hung = [1 + beams_a_bay * i for i in range(12)]
    for index, x in enumerate(along):
        opensees.node(1 + index, x, 0.0, 0.0)
    opensees.fix(1, 0, 0, 0, 1, 0, 0)
    for index in range(len(along) - 1):
        opensees.element("elasticBeamColumn", 1 + index, 1 + index, 2 + index, 9.52e7, 1.0, 1.0, 1.88e4, 2.43e4,
                         2.43e4, 1)
    for line, node in enumerate(hung):
        top = 1000 + line
        opensees.node(top, along[node], 0.0, 4.0)
        opensees.fix(top, 1, 1, 1, 1, 1, 1)
        unloaded = 4.0 + (0.005 if line % 3 == 0 else 0.0) - 0.01
        opensees.uniaxialMaterial("Elastic", 2000 + line, 1.0e6 * 4.0 / unloaded, 0.0, 0.0)
        opensees.uniaxialMaterial("InitStrainMaterial", 1000 + line, 2000 + line, (4.0 - unloaded) / 4.0)
        opensees.element("corotTruss", 1000 + line, top, 1 + node, 1.0, 1000 + line)
    opensees.timeSeries("Constant", 1)
    opensees.pattern("Plain", 1, 1)
    loads = numpy.zeros(len(along))
    for index, (a, b) in enumerate(zip(along, along[1:])):
        loads[index:index + 2] += 34.9 * (b - a) / 2
    loads[[node + beams_a_bay // 2 for node in hung[:-1:2]]] += 200.0
    for index, load in enumerate(loads):
        opensees.load(1 + index, 0.0, 0.0, -float(load), 0.0, 0.0, 0.0)
    opensees.constraints("Plain")
    opensees.numberer("RCM")
    opensees.system("UmfPack")
    opensees.test("NormDispIncr", 1e-9, 60, 0)
    opensees.algorithm("Newton")
    opensees.integrator("LoadControl", 1.0)
    opensees.analysis("Static")
    assert opensees.analyze(1) == 0, "OpenSees did not converge"
    tensions = [opensees.eleResponse(1000 + line, "axialForce")[0] for line in range(12)]
    assert abs(sum(tensions) - loads.sum()) < 1e-4 * loads.sum(), "vertical lines carry what hangs on them"
    return tensions


def time_pipe():
    out = {}
    for beams in (2, 4, 8):
        seconds, tensions = median(lambda: pipe_on_twelve_lines(beams), 5)
        out[f"OpenSees, {beams} beams a bay"] = {"seconds": seconds, "greatest_tension_n": max(tensions)}
    return out


# ---- a let-go ----

PLATE_GONE = 1
# Time steps of the physics engine, from the longest on.
STEPS_S = [1.6e-2, 8e-3, 4e-3, 2e-3, 1e-3, 5e-4, 2.5e-4, 1.25e-4, 6.25e-5, 3.125e-5]


def plate_on_four():
    """The plate of 150 kg on four lines."""
    corners = [[0.6, 0.4], [-0.6, 0.4], [-0.6, -0.4], [0.6, -0.4]]
    tops = [[0.7, 0.5], [-0.7, 0.5], [-0.7, -0.5], [0.7, -0.5]]
    line = lambda i: {"path": [["point", i], ["pick", i]], "stiffness_n": 4e5, "unloaded_length_m": 3.0,
                      "damping_n_s_per_m": 0.0}
    return {"loads": [{"weight_n": 150.0 * GRAVITY, "centre_m": [0.05, 0.02, -0.1],
                       "inertia_kg_m2": [10.0, 18.0, 25.0]}],
            "points": [[x, y, 6.0] for x, y in tops], "junctions": [],
            "picks": [{"load": 0, "at_m": [x, y, 0.0]} for x, y in corners], "lines": [line(i) for i in range(4)]}


def time_let_go():
    """Each integrator of MuJoCo at the longest step at which it and shorter ones come within 0.1 % of all peaks of 1.5 s.

    Timed it keeps no peaks, which would take longer. The same step is timed for 10 s as well, for its cost only: by then
    no two runs agree, not even those of the reference, since undamped lines that go slack again and again make for chaos.
    """
    rig = plate_on_four()
    drawn = (numpy.array([[0.05, 0.02, 2.9]]), numpy.eye(3)[None], numpy.zeros((0, 3)))
    before = hang(Rig(rig), drawn)
    left = Rig(rig, without=(PLATE_GONE,))
    told = {seconds: peaks(*follow(left, before, seconds)[:2], seconds) for seconds in (1.5, 10.0)}
    aside = peaks(*follow(left, before, 10.0, 1e-9, 1e-9)[:2], 10.0)
    out = {seconds: {} for seconds in told}
    for integrator in ("RK4", "implicitfast", "Euler"):
        run = lambda seconds, step_s: _mujoco.follow(rig, PLATE_GONE, before, seconds, step_s, integrator)
        off = lambda seconds, step_s: apart(told[seconds], peaks(*run(seconds, step_s), seconds))
        offs = [off(1.5, step_s) for step_s in STEPS_S]
        good = [at for at in range(len(offs)) if max(offs[at:]) <= 1e-3]
        assert good, f"MuJoCo, {integrator}: peaks off by {offs[-1]}"
        step_s = STEPS_S[good[0]]
        engine = _mujoco.Engine(rig, PLATE_GONE, before, step_s, integrator)
        for seconds in told:
            taken = median(lambda: engine.only_run(seconds), 5)[0]
            note = f"steps of {step_s:g} s, peaks off by {off(seconds, step_s):.1e}"
            if seconds == 10.0:
                note += f", and of the reference from itself by {apart(told[10.0], aside):.1e}"
            out[seconds][f"MuJoCo, {integrator}"] = {"seconds": taken, "step_s": step_s, "note": note}
    return {f"let-go of a plate, {seconds:g} s": timed for seconds, timed in out.items()}


def apart(ours, theirs):
    """The greatest difference of a peak, over the greatest peak."""
    return max(abs(a - b) for (a, _), (b, _) in zip(ours, theirs)) / max(a for a, _ in ours)


# ---- beside ours ----

# What our benches call the rigs that are timed here.
OURS = {
    "four-leg hang": ["four-leg hang, cold", "four-leg hang, one length changed by 3 mm"],
    "eight-leg hang": ["eight-leg hang, cold", "eight-leg hang, one length changed by 3 mm"],
    "net 20x20": ["net/nodes/400"],
    "net 100x100": ["net/nodes/10000"],
    "pipe on twelve lines": [f"pipe on twelve lines, {pieces} pieces a bay, cold" for pieces in (2, 4, 8)],
    f"spread of {SAMPLES} samples of the four-leg hang": [
        "spread of 10,000 samples of the four-leg hang, two threads/lengths"],
    "let-go of a plate, 1.5 s": ["four-line let-go, 1.5 s"],
    "let-go of a plate, 10 s": ["four-line let-go, 10 s"],
    "log of a million readings": ["log of a million readings, read", "log of a million readings, read and examined"],
}


def ours_in(folder):
    """Median seconds of each of our benches, by its name."""
    found = {}
    for path in pathlib.Path(folder).glob("**/new/benchmark.json"):
        name = json.loads(path.read_text())["full_id"]
        estimates = json.loads((path.parent / "estimates.json").read_text())
        found[name] = estimates["median"]["point_estimate"] * 1e-9
    return found


def duration(seconds):
    for unit, size in (("s", 1.0), ("ms", 1e-3), ("us", 1e-6)):
        if seconds >= size:
            return f"{seconds / size:.3g} {unit}"
    return f"{seconds / 1e-9:.3g} ns"


def print_beside(timed, ours):
    print("median times; ours on one thread unless said, theirs on one thread; ratio to our first")
    for rig, names in OURS.items():
        print(rig)
        known = [(name, ours[name]) for name in names if name in ours]
        for name, seconds in known:
            print(f"  {duration(seconds):>9}         ours: {name}")
        for name, peer in timed[rig].items():
            seconds = peer.get("seconds")
            time_text = duration(seconds) if seconds else "-"
            ratio = f"{seconds / known[0][1]:.0f}x" if seconds and known else ""
            note = f" ({peer['note']})" if "note" in peer else ""
            print(f"  {time_text:>9} {ratio:>7} {name}{note}")


def main(words):
    opensees.logFile(os.devnull, "-noEcho")
    timed = time_all()
    if words[:1] == ["--beside"]:
        print_beside(timed, ours_in(words[1]))
    else:
        print(json.dumps(timed, indent=1))
    return 0


def time_all():
    return {
        "what": "Median seconds of general-purpose libraries, one thread, warm; answers checked.",
        "libraries": libraries(openseespy=version("openseespy"), mujoco=mujoco.__version__),
        "four-leg hang": time_hang(four_legs()),
        "eight-leg hang": time_hang(eight_legs()),
        "net 20x20": time_net(20, 3),
        "net 100x100": time_net(100, 1),
        "pipe on twelve lines": time_pipe(),
        f"spread of {SAMPLES} samples of the four-leg hang": time_spread(four_legs()),
        **time_let_go(),
        **time_logs(),
    }


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
