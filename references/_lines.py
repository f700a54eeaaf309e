"""A line between two places: straight and weightless, or an elastic catenary; double precision.

A heavy line has constant EA, no stiffness in bending, and its weight per metre of unloaded length (Irvine,
Cable Structures, 1981, from memory). Its inner force at s unloaded metres from its first end is
(h, v + w s), h and v constant, and its places follow by integration.
"""

import numpy


def spread(line, horizontal, vertical):
    """How far apart (level, up) the ends lie when the first pulls with these; and the derivatives of that."""
    stiffness, length, weight = line["stiffness_n"], line["unloaded_length_m"], line["weight_n_per_m"]
    far = vertical + weight * length
    near_total, far_total = numpy.hypot(horizontal, vertical), numpy.hypot(horizontal, far)
    turn = (numpy.arcsinh(far / horizontal) - numpy.arcsinh(vertical / horizontal)) / weight
    level = horizontal * (length / stiffness + turn)
    up = (vertical + far) * length / 2 / stiffness + (far_total - near_total) / weight
    across = (1 / far_total - 1 / near_total) * horizontal / weight
    slopes = numpy.array([
        [length / stiffness + turn - (far / far_total - vertical / near_total) / weight, across],
        [across, length / stiffness + (far / far_total - vertical / near_total) / weight],
    ])
    return numpy.array([level, up]), slopes


def catenary(line, apart):
    """Inner force (3) at the first end of a heavy line whose ends lie `apart`, by Newton on both components."""
    level = numpy.hypot(apart[0], apart[1])
    weight, length = line["weight_n_per_m"], line["unloaded_length_m"]
    wanted = numpy.array([level, apart[2]])
    chord = numpy.hypot(*wanted)
    taut = max(0.0, line["stiffness_n"] * (chord / length - 1))
    bow = numpy.sqrt(max(1e-3, 3 * ((length**2 - apart[2] ** 2) / level**2 - 1)))
    force = numpy.array([max(taut * level / chord, weight * level / 2 / bow), taut * apart[2] / chord
                         + weight / 2 * (apart[2] / numpy.tanh(bow) * (taut == 0) - length)])
    found, slopes = spread(line, *force)
    for _ in range(200):
        step = numpy.linalg.solve(slopes, wanted - found)
        share = 1.0
        while force[0] + share * step[0] <= 0.1 * force[0]:
            share /= 2
        while True:
            trial = force + share * step
            found_there, slopes_there = spread(line, *trial)
            if numpy.hypot(*(wanted - found_there)) <= numpy.hypot(*(wanted - found)) or share < 1e-6:
                break
            share /= 2
        force, found, slopes = trial, found_there, slopes_there
        if numpy.all(numpy.abs(share * step) <= 1e-13 * numpy.abs(force).max()) or share < 1e-6:
            break
    assert numpy.hypot(*(wanted - found)) < 1e-9 * (1 + chord), f"no catenary: {line}, {apart}"
    return numpy.array([force[0] * apart[0] / level, force[0] * apart[1] / level, force[1]])


def inner_forces(line, apart):
    """Inner forces (3 each) at the first and second end: what the far side pulls the near side with."""
    apart = numpy.asarray(apart, dtype=float)
    if line["weight_n_per_m"] > 0:
        near = catenary(line, apart)
        return near, near + [0.0, 0.0, line["weight_n_per_m"] * line["unloaded_length_m"]]
    distance, length = numpy.linalg.norm(apart), line["unloaded_length_m"]
    tension = max(0.0, line["stiffness_n"] * (distance - length) / length)
    return tension / distance * apart, tension / distance * apart


def energy(line, start, end):
    """Energy of a line between two places: stretch, and weight times height."""
    apart = numpy.subtract(end, start)
    length = line["unloaded_length_m"]
    if line["weight_n_per_m"] == 0:
        stretch = max(0.0, float(numpy.linalg.norm(apart)) - length)
        return 0.5 * line["stiffness_n"] / length * stretch**2
    near = catenary(line, apart)
    level = numpy.hypot(near[0], near[1])
    places, shares = numpy.polynomial.legendre.leggauss(8)
    total = 0.0
    for place, share in zip((places + 1) / 2 * length, shares / 2 * length):
        (_, up), _ = spread(dict(line, unloaded_length_m=place), level, near[2])
        tension = numpy.hypot(level, near[2] + line["weight_n_per_m"] * place)
        total += share * (tension**2 / 2 / line["stiffness_n"] + line["weight_n_per_m"] * (start[2] + up))
    return total


def answer(line, near, far, apart):
    """What is asked of a line: pulls on its ends, tensions, greatest sag below the chord, stretched length."""
    near, far = [[float(x) for x in end] for end in (near, far)]
    weight, stiffness, length = line["weight_n_per_m"], line["stiffness_n"], line["unloaded_length_m"]
    horizontal = float(numpy.hypot(near[0], near[1]))
    sag, stretched = 0.0, length + float(numpy.linalg.norm(near)) * length / stiffness
    if weight > 0:
        level = float(numpy.hypot(apart[0], apart[1]))
        # The line is parallel to its chord where it lies deepest below it.
        part = (horizontal * float(apart[2]) / level - near[2]) / weight
        (across, up), _ = spread(dict(line, unloaded_length_m=part), horizontal, near[2])
        sag = across * float(apart[2]) / level - up
        # The integral of the tension, over EA, is what is added to the length.
        tensions = numpy.hypot(horizontal, [near[2], far[2]])
        integral = (far[2] * tensions[1] - near[2] * tensions[0] + horizontal**2 * (
            numpy.arcsinh(far[2] / horizontal) - numpy.arcsinh(near[2] / horizontal))) / 2 / weight
        stretched = length + integral / stiffness
    return {
        "pull_on_from_n": near,
        "pull_on_to_n": [-x for x in far],
        "tension_at_from_n": float(numpy.linalg.norm(near)),
        "tension_at_to_n": float(numpy.linalg.norm(far)),
        "horizontal_n": horizontal,
        "slack": weight == 0 and horizontal == 0 and near[2] == 0,
        "sag_m": float(sag),
        "stretched_length_m": float(stretched),
    }
