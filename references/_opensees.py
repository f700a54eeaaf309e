"""Loads OpenSees: its Linux wheel brings libraries along, but does not tell the loader where they are."""

import ctypes
import importlib.util
import pathlib

_wheel = importlib.util.find_spec("openseespylinux")
if _wheel is not None:
    _folder = pathlib.Path(_wheel.submodule_search_locations[0]) / "lib"
    for _name in ("libquadmath.so.0", "libgfortran.so.4", "libblas.so.3"):
        if (_folder / _name).exists():
            ctypes.CDLL(str(_folder / _name), ctypes.RTLD_GLOBAL)

import openseespy.opensees as opensees  # noqa: E402
