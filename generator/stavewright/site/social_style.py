"""How the picture looks that stands for an article where links are shared, and its name."""

from dataclasses import dataclass
from typing import Final

WIDTH: Final = 1200
HEIGHT: Final = 630
"""Pixels."""


@dataclass(frozen=True, slots=True)
class SocialLook:
    """The colours, each as CSS writes it."""

    paper: str = "#fbf8f1"
    ink: str = "#23201c"
    soft: str = "#625c53"
    accent: str = "#8a2f1d"


@dataclass(frozen=True, slots=True)
class SocialStyle:
    """What is the same in all pictures of a site."""

    site: str
    """Its name."""
    look: SocialLook


@dataclass(frozen=True, slots=True)
class SocialPicture:
    """A picture of an article, as its page names it."""

    path: str
    """In the site."""
    alt: str
    """What it shows, in words."""
