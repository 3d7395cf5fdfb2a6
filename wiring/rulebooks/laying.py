"""How a conductor lies, in the words of a plan, and which installation method of the tables that is.

Choice of method, erring towards the lower ampacity (the words of the methods: IEC 60204-1 annex D, two public
sources; the choice itself is common practice, no source):
duct, conduit, loom and gland are B1 for single wires and B2 for a cable, bunched; a tray or a single conductor in the
open is E; a drag chain is E with the factors of bunched cables, because the cables of a chain touch.
"""

from __future__ import annotations

from msgspec import Struct

_ENCLOSED = ("B1", "B2", "bunched")
_METHODS = {
    "duct": _ENCLOSED,
    "conduit": _ENCLOSED,
    "loom": _ENCLOSED,
    "gland": _ENCLOSED,
    "chain": ("E", "E", "bunched"),
    "tray": ("E", "E", "layer-on-perforated-tray"),
    "open": ("E", "E", "bunched"),
}
KINDS = tuple(_METHODS)


class Laying(Struct, frozen=True):
    """Where and with what a conductor lies.

    `kind` duct, loom, conduit, chain, tray, gland or open. `location` "enclosure" or "machine" takes the tables for
    machines, "feed" those for the building. `cores` is how many cores of its cable carry load, 0 for a single wire.
    `loaded_circuits` counts the circuits or cables laid together, this one included; `loaded_conductors` the
    current-carrying conductors among them. `terminal_c` is the temperature its terminals are marked for, None unknown.
    `given_method` is the reference method where the plan names it, "" otherwise.
    """

    kind: str
    ambient_c: float
    location: str = "enclosure"
    cores: int = 0
    loaded_circuits: int = 1
    loaded_conductors: int = 2
    terminal_c: float | None = None
    given_method: str = ""

    @property
    def method(self) -> str:
        """Reference method of IEC 60204-1 annex D and IEC 60364-5-52: as given, else B1, B2 or E by the kind."""
        if self.given_method:
            return self.given_method
        single, cable, _ = self._words()
        return cable if self.cores else single

    @property
    def arrangement(self) -> str:
        """Row of the grouping table."""
        return self._words()[2]

    def _words(self) -> tuple[str, str, str]:
        if self.kind not in _METHODS:
            raise ValueError(f"no way of laying {self.kind!r}; known: {', '.join(_METHODS)}")
        return _METHODS[self.kind]
