"""A log of a million readings, read by pandas and looked through with it: for peers.py.

The log is that of crates/proving/benches/logs.rs. What is looked for is the least that ours finds too: noise from the
middle of differences, the greatest force as a running median of three, and falls from one reading to the next. The
columns are named, since pandas does not find units, decimal signs or clocks by itself.
"""

import io
import statistics
import time

import numpy
import pandas

READINGS = 1_000_000


def text():
    at = numpy.arange(READINGS)
    share = at / READINGS
    slipped = numpy.where(share < 0.5, 0.0, 400.0) + numpy.where(share < 0.7, 0.0, 400.0)
    pulled = numpy.where(share < 0.9, 20_000.0 * share / 0.9 - slipped, 0.0)
    force = numpy.maximum(pulled, 0.0) + 5.0 * numpy.sin(1.7 * at)
    rows = (f"{t:.3f},{f:.1f},{x:.4f}" for t, f, x in zip(at / 1000.0, force, 100.0 * share))
    return "Time [s],Force [N],Travel [mm]\n" + "\n".join(rows) + "\n"


def read(log, engine):
    return pandas.read_csv(io.BytesIO(log), engine=engine)


def look(frame):
    """The peak and the number of falls."""
    force = frame["Force [N]"]
    steps = force.diff()
    noise = 1.4826 * (steps - steps.median()).abs().median() / 2**0.5
    peak = force.rolling(3, center=True).median().max()
    falls = steps < -max(8.0 * noise, 0.0075 * peak)
    return peak, int(falls.sum())


def time_logs():
    log = text().encode()
    out = {}
    for engine in ("c", "pyarrow"):
        try:
            peak, falls = look(read(log, engine))
        except ImportError:
            continue
        assert abs(peak - 19_200.0) < 10.0 and falls == 3, (engine, peak, falls)
        for what, run in (("read", lambda: read(log, engine)), ("read and looked through", lambda: look(read(log, engine)))):
            taken = []
            for _ in range(5):
                start = time.perf_counter()
                run()
                taken.append(time.perf_counter() - start)
            out[f"pandas, {engine}: {what}"] = {"seconds": statistics.median(taken)}
    return {"log of a million readings": out}


if __name__ == "__main__":
    print(time_logs())
