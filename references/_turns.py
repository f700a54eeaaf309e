"""Turns and moments to as many digits as mpmath is set to."""

import mpmath


def rotate_mpmath(turn, arms):
    """Rodrigues' formula on each arm."""
    angle = mpmath.sqrt(sum(x * x for x in turn))
    if angle == 0:
        return [[mpmath.mpf(x) for x in arm] for arm in arms]
    axis = [x / angle for x in turn]
    c, s = mpmath.cos(angle), mpmath.sin(angle)
    out = []
    for arm in arms:
        along = sum(a * b for a, b in zip(axis, arm))
        across = cross(axis, arm)
        out.append([arm[i] * c + across[i] * s + axis[i] * along * (1 - c) for i in range(3)])
    return out


def cross(a, b):
    return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
