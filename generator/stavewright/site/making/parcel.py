"""What was made, as bytes: how it crosses processes and how it is kept."""

from dataclasses import dataclass

from stavewright.figures.figure import Drawing, EngravingJob
from stavewright.site.making.body import Body
from stavewright.site.making.essence import Essence
from stavewright.site.making.made import KeptFile, Made
from stavewright.site.store import Codec, digest

ESSENCES = Codec(Essence)
BODIES = Codec(Body)
DRAWINGS = Codec(Drawing)
FILES: Codec[tuple[KeptFile, ...]] = Codec(tuple[KeptFile, ...])


@dataclass(frozen=True, slots=True)
class Parcel:
    """A `Made`, packed part by part, since each is needed at another time."""

    essence: bytes
    body: bytes
    files: bytes
    lasting: bool

    @classmethod
    def of(cls, made: Made) -> "Parcel":
        """Pack what was made."""
        return cls(
            ESSENCES.encode(made.essence),
            BODIES.encode(made.body),
            FILES.encode(made.files),
            made.lasting,
        )


def drawing_key(job: EngravingJob, program: bytes) -> bytes:
    """Under what a drawing is kept; `program` is a digest of all that drew it."""
    return digest(program, job.mei, str(job.width))
