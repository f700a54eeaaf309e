"""Statistics of breaking strengths by a general-purpose library, as a reference for crates/proving.

Tolerance factors by scipy's noncentral t; Weibull fits by scipy's censored maximum likelihood; Welch's test, rank tests and Student's
interval by scipy.stats. The samples come from a fixed seed.

    python references/proving.py --write    writes tests/published/proving-reference.json
    python references/proving.py --check    works them out again and compares to 1e-9 relative

Needs references/requirements.txt.
"""

import math
import random
import sys

from scipy import stats

from _answers import libraries, write_or_check

SEED = 5
COUNTS = [2, 3, 4, 5, 6, 7, 8, 10, 12, 15, 20, 30, 50, 75, 100, 200, 350, 500, 1000]
RELIABILITIES = [0.75, 0.9, 0.95, 0.99, 0.999, 0.9999]
CONFIDENCES = [0.5, 0.75, 0.9, 0.95, 0.99]


def factors():
    """n, reliability, confidence and k."""
    rows = []
    for n in COUNTS:
        for reliability in RELIABILITIES:
            for confidence in CONFIDENCES:
                delta = stats.norm.ppf(reliability) * math.sqrt(n)
                k = stats.nct.ppf(confidence, n - 1, delta) / math.sqrt(n)
                rows.append([n, reliability, confidence, float(k)])
    return rows


def weibull(dice):
    """A censored sample with the shape and scale that scipy finds."""
    n, shape = dice.randint(4, 30), dice.uniform(3.0, 40.0)
    strengths = [20.0 * (-math.log(1.0 - dice.random())) ** (1.0 / shape) for _ in range(n)]
    stop = sorted(strengths)[dice.randint(2, n - 1)]
    failures = [x for x in strengths if x <= stop]
    stopped = [stop] * (n - len(failures))
    data = stats.CensoredData(uncensored=failures, right=stopped)
    first = stats.weibull_min.fit(data, floc=0)
    fitted = stats.weibull_min.fit(data, first[0], floc=0, scale=first[2], optimizer=tight)
    return {"failures": failures, "stopped": stopped, "shape": float(fitted[0]), "scale": float(fitted[2])}


def tight(of, start, args=(), disp=0):
    """scipy's simplex, until nothing moves."""
    from scipy import optimize

    for _ in range(4):
        start = optimize.fmin(of, start, args=args, disp=0, xtol=1e-13, ftol=1e-15, maxiter=20000, maxfun=20000)
    return start


def two_kinds(dice):
    """Two samples with Welch's test and the exact rank test."""
    a = [dice.gauss(20.0, 0.8) for _ in range(dice.randint(3, 9))]
    b = [dice.gauss(19.3, 1.6) for _ in range(dice.randint(3, 9))]
    welch = stats.ttest_ind(a, b, equal_var=False)
    ranks = stats.mannwhitneyu(a, b, method="exact")
    interval = welch.confidence_interval(0.95)
    return {
        "a": a,
        "b": b,
        "t": float(welch.statistic),
        "df": float(welch.df),
        "p": float(welch.pvalue),
        "interval": [float(interval.low), float(interval.high)],
        "u": float(ranks.statistic),
        "rank_p": float(ranks.pvalue),
    }


def build():
    dice = random.Random(SEED)
    return {
        "what": "Tolerance factors k (n, reliability, confidence, k); Weibull fits with stopped tests; two kinds compared.",
        "made_by": "references/proving.py",
        "libraries": libraries(),
        "seed": SEED,
        "cases": {
            "factors": factors(),
            "weibull": [weibull(dice) for _ in range(20)],
            "two_kinds": [two_kinds(dice) for _ in range(20)],
        },
    }


if __name__ == "__main__":
    sys.exit(write_or_check(__doc__, build, "proving-reference.json", "groups", 1e-9))
