"""What a degree of protection of a cabinet keeps out: numerals of IEC 60529, types of NEMA 250."""

from __future__ import annotations

#: Types that keep out dust, and those that keep out the water of a hose (NEMA 250, table 1).
DUST_TYPES = frozenset({"3", "3S", "3X", "3SX", "5", "12", "12K", "13"})
JET_TYPES = frozenset({"4", "4X", "6", "6P"})
#: Those that keep out drops and seepage of coolant.
_MIST_TYPES = JET_TYPES | {"12", "12K", "13"}
#: First numeral that keeps out dust, second ones that keep out splashes and jets (IEC 60529).
_DUST, _SPLASH, _JET = 5, 4, 5


def type_of(protection: str) -> str:
    """The type of NEMA 250 without the word: 12."""
    return protection.removeprefix("type").strip().upper()


def let_in(protection: str) -> frozenset[str]:
    """Which of dust, mist and hose a cabinet lets in; an open numeral is taken as one that keeps all out."""
    if not protection.startswith("IP"):
        kind = type_of(protection)
        kept = (("dust", DUST_TYPES | JET_TYPES), ("mist", _MIST_TYPES), ("hose", JET_TYPES))
        return frozenset(word for word, types in kept if kind not in types)
    first, second = (int(one) if one.isdigit() else _DUST + 1 for one in protection[2:4])
    enters = (("dust", first < _DUST), ("mist", first < _DUST or second < _SPLASH), ("hose", second < _JET))
    return frozenset(word for word, does in enters if does)
