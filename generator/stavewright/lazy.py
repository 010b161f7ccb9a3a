"""Packages whose names are loaded when they are first asked for (PEP 562).

A build in which nothing changed should not load a parser of music, rules and figures to find that
out; and whoever imports one small module of a package should not load the rest of it. A name must
not be that of a module of its package, which would hide it once that module is loaded.
"""

from collections.abc import Callable, Mapping, Sequence
from importlib import import_module


def names_of(package: str, homes: Mapping[str, Sequence[str]]) -> Callable[[str], object]:
    """The `__getattr__` of a package: `homes` has the names that each of its modules gives."""
    home_of = {name: home for home, names in homes.items() for name in names}

    def get(name: str) -> object:
        if name not in home_of:
            raise AttributeError(f"module {package!r} has no attribute {name!r}")
        return getattr(import_module(f"{package}.{home_of[name]}"), name)

    return get
