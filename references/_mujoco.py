"""The same let-gos in MuJoCo: lines are spatial tendons that pull beyond their length.

A junction without mass is not to be had there. It gets next to none, its weight as a force, and a little drag so that
it stops ringing; the less of both, the nearer peaks come. Damping is that of the rig, worked out here: MuJoCo's own
would also brake a line that is slack. Damped lines on a junction that has mass, however little, snatch where they come
taut, since c de/dt is then anything; such rigs are not for this.
"""

import mujoco
import numpy
from mujoco import rollout

STEP_S, RING_STEP_S = 2e-5, 5e-6
RING_KG = 1e-5
# Of critical.
RING_DRAG = 5e-4
GRAVITY = 9.80665


def numbers(of):
    return " ".join(repr(float(x)) for x in numpy.ravel(of))


def described(rig, gone, pose, step_s, integrator):
    """The rig in MuJoCo's own words, drawn as it hangs."""
    centres, turns, rings = pose
    worlds = [f'<site name="point{i}" pos="{numbers(at)}"/>' for i, at in enumerate(rig["points"])]
    for b, load in enumerate(rig["loads"]):
        picks = [(i, pick) for i, pick in enumerate(rig["picks"]) if pick["load"] == b]
        arms = [(i, numpy.subtract(pick["at_m"], load["centre_m"])) for i, pick in picks]
        sites = "".join(f'<site name="pick{i}" pos="{numbers(arm)}"/>' for i, arm in arms)
        quaternion = numpy.empty(4)
        mujoco.mju_mat2Quat(quaternion, turns[b].ravel())
        worlds.append(
            f'<body pos="{numbers(centres[b])}" quat="{numbers(quaternion)}"><freejoint/><inertial pos="0 0 0" '
            f'mass="{load["weight_n"] / GRAVITY!r}" diaginertia="{numbers(load["inertia_kg_m2"])}"/>{sites}</body>')
    lines = [(i, line) for i, line in enumerate(rig["lines"]) if i != gone]
    damped = any(line["damping_n_s_per_m"] > 0.0 for _, line in lines)
    stiffest = max(line["stiffness_n"] / line["unloaded_length_m"] for _, line in lines)
    assert not (damped and rig["junctions"]), "damped lines on junctions are not for MuJoCo"
    drag = RING_DRAG * 2.0 * (stiffest * RING_KG) ** 0.5
    for j, junction in enumerate(rig["junctions"]):
        slides = "".join(f'<joint type="slide" axis="{axis}" damping="{drag!r}"/>'
                         for axis in ("1 0 0", "0 1 0", "0 0 1"))
        worlds.append(
            f'<body name="junction{j}" pos="{numbers(rings[j])}">{slides}<inertial pos="0 0 0" mass="{RING_KG}" '
            f'diaginertia="1e-6 1e-6 1e-6"/><site name="junction{j}" pos="0 0 0"/></body>')
    tendons, sensors, motors = [], [], []
    for i, line in lines:
        rate = 0.0 if damped else line["stiffness_n"] / line["unloaded_length_m"]
        path = "".join(f'<site site="{kind}{index}"/>' for kind, index in line["path"])
        tendons.append(f'<spatial name="line{i}" stiffness="{rate!r}" '
                       f'springlength="0 {line["unloaded_length_m"]!r}">{path}</spatial>')
        sensors.append(f'<tendonpos tendon="line{i}"/>')
        motors.append(f'<general tendon="line{i}" gainprm="-1"/>' if damped else "")
    return (f'<mujoco><option timestep="{step_s!r}" integrator="{integrator}" gravity="0 0 {-GRAVITY}">'
            '<flag contact="disable"/></option>'
            f'<worldbody>{"".join(worlds)}</worldbody><tendon>{"".join(tendons)}</tendon>'
            f'<actuator>{"".join(motors)}</actuator><sensor>{"".join(sensors)}</sensor></mujoco>')


class Engine:
    """A let-go ready to run."""

    def __init__(self, rig, gone, pose, step_s, integrator):
        self.model = mujoco.MjModel.from_xml_string(described(rig, gone, pose, step_s, integrator))
        self.data = mujoco.MjData(self.model)
        lines = [line for i, line in enumerate(rig["lines"]) if i != gone]
        self.unloaded = numpy.array([line["unloaded_length_m"] for line in lines])
        self.rate = numpy.array([line["stiffness_n"] for line in lines]) / self.unloaded
        self.damping = numpy.array([line["damping_n_s_per_m"] for line in lines])
        self.step_s = step_s
        for j, junction in enumerate(rig["junctions"]):
            self.data.body(f"junction{j}").xfrc_applied[2] = GRAVITY * RING_KG - junction["weight_n"]

    def pull(self, length, growing):
        stretch = length - self.unloaded
        return numpy.where(stretch > 0.0, numpy.maximum(0.0, self.rate * stretch + self.damping * growing), 0.0)

    def undamped(self, seconds):
        """Tensions at the beginning of each step."""
        state = numpy.empty(mujoco.mj_stateSize(self.model, mujoco.mjtState.mjSTATE_FULLPHYSICS))
        mujoco.mj_getState(self.model, self.data, state, mujoco.mjtState.mjSTATE_FULLPHYSICS)
        control = numpy.tile(self.data.xfrc_applied.ravel(), (1, 1, 1))
        _, lengths = rollout.rollout(self.model, self.data, state[None], control,
                                     control_spec=int(mujoco.mjtState.mjSTATE_XFRC_APPLIED),
                                     nstep=int(round(seconds / self.step_s)))
        return self.pull(lengths[0], 0.0)

    def only_run(self, seconds):
        """Runs from the start and keeps nothing; undamped and without junctions."""
        mujoco.mj_resetData(self.model, self.data)
        mujoco.mj_step(self.model, self.data, nstep=int(round(seconds / self.step_s)))

    def damped(self, seconds):
        """The same, with the law of damped lines worked out at every stage of every step."""
        tensions = []

        def act(_, data):
            data.ctrl[:] = self.pull(data.ten_length, data.ten_velocity)

        mujoco.set_mjcb_control(act)
        try:
            for _ in range(int(round(seconds / self.step_s))):
                mujoco.mj_forward(self.model, self.data)
                tensions.append(self.data.ctrl.copy())
                mujoco.mj_step(self.model, self.data)
        finally:
            mujoco.set_mjcb_control(None)
        return numpy.array(tensions)


def follow(rig, gone, pose, seconds, step_s=None, integrator="RK4"):
    """Times and tensions of the lines that are left."""
    step_s = step_s or (RING_STEP_S if rig["junctions"] else STEP_S)
    engine = Engine(rig, gone, pose, step_s, integrator)
    run = engine.damped if engine.damping.any() else engine.undamped
    tensions = run(seconds)
    return numpy.arange(len(tensions)) * step_s, tensions
