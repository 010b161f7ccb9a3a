"""What a maker is told: how to work, and what to make."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from stavewright.site.making.made import Order
from stavewright.site.making.manner import Manner


@dataclass(frozen=True, slots=True)
class Terms:
    """How a maker works."""

    manner: Manner
    seconds: float
    """How long one block may be drawn."""
    memory: int
    """How many bytes drawing one block may take beyond what the process has."""
    recalls: bool
    """Whether it is worth asking for drawings that were kept."""


@dataclass(frozen=True, slots=True)
class Task:
    """An order, and what is known of it."""

    order: Order
    undrawable: Mapping[int, str] = field(default_factory=dict)
    """Blocks over which makers broke down, and what to say of each."""
