"""Stavewright: a static site generator for music theory explainers."""

__version__ = "0.1.0"

__all__ = ["__version__"]
