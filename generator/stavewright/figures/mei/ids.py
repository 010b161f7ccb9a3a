"""The ids that the drawing keeps, as `data-id`, so that a page can point at a note.

Every id has a hyphen; the engraver's own never do. Ids that begin `x-` serve the drawing alone and
are taken out of it again; no voice can be called `x` with a second hyphen following.
"""


def event_id(voice: str, event: int) -> str:
    """Of an event: `right-3` for `Voice.events[3]`."""
    return f"{voice}-{event}"


def head_id(voice: str, event: int, head: int, heads: int) -> str:
    """Of one note: the event's own where it is alone, else `right-3.1` for the second head."""
    own = event_id(voice, event)
    return own if heads == 1 else f"{own}.{head}"


def grace_id(voice: str, event: int, grace: int) -> str:
    """Of a grace note before an event."""
    return f"{event_id(voice, event)}.g{grace}"


def anchor_id(bar: int, place: int) -> str:
    """Of an invisible place that a symbol hangs on where no note begins."""
    return f"x-at-{bar}-{place}"
