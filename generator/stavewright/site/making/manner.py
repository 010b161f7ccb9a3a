"""How articles are made, whatever they say."""

from dataclasses import dataclass

from stavewright.site.social_style import SocialStyle
from stavewright.site.store import digest
from stavewright.site.themes import Theme


@dataclass(frozen=True, slots=True)
class Manner:
    """Everything but an article's own text that shows in what is made of it."""

    program: bytes
    """Digest of our own code and of the tools it works with; see `digests.program`."""
    theme: Theme
    """Whose template sets each figure."""
    figure: bytes
    """Digest of that template; see `digests.digest_figure_template`."""
    raw_html: bool
    """Whether HTML in articles passes through."""
    places: bool
    """Whether elements say which line they come from, for the preview."""
    social: SocialStyle | None = None
    """How pictures for shared links look; None where none are made."""

    @property
    def key(self) -> bytes:
        """A digest of all this."""
        flags = f"{self.raw_html:d}{self.places:d}"
        return digest(self.program, flags, self.figure, repr(self.social))
