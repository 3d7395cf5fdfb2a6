"""Colours of conductors in the letter code of IEC 60757."""

from __future__ import annotations

import re

from wiring.plan.fault import Refusal, nearest

#: IEC 60757 codes. Read in one public source: BK, RD, BU, WH; the others from memory.
COLOURS = {
    "BK": "black",
    "BN": "brown",
    "RD": "red",
    "OG": "orange",
    "YE": "yellow",
    "GN": "green",
    "BU": "blue",
    "VT": "violet",
    "GY": "grey",
    "WH": "white",
    "PK": "pink",
    "GD": "gold",
    "TQ": "turquoise",
    "SR": "silver",
}
#: Shades that the trade tells apart in cabinets; no part of the standard, common practice.
SHADES = {"DBU": "dark blue", "LBU": "light blue"}
_CODES = COLOURS | SHADES
_ALTERNATIVES = "|".join(sorted(_CODES, key=len, reverse=True))
_WRITTEN = re.compile(rf"({_ALTERNATIVES})({_ALTERNATIVES})?")


def read_colour(text: str) -> str:
    """The code in capitals: one colour, or the base colour and the stripe, such as WHBU.

    Raises Refusal for anything else; the English name of a colour is answered with its code.
    """
    code = code_or_none(text)
    if code is not None:
        return code
    named = tuple(known for known, name in _CODES.items() if name == text.strip().lower().replace("gray", "grey"))
    expected = f"a letter code: {', '.join(_CODES)}, or two of them such as GNYE and WHBU"
    raise Refusal(f"{text[:40]!r} is no colour code", expected, "", named or nearest(_plain(text), _CODES))


def code_or_none(text: str) -> str | None:
    """The code in capitals, None for anything else."""
    code = _plain(text)
    return code if _WRITTEN.fullmatch(code) else None


def _plain(text: str) -> str:
    return text.strip().upper().replace("-", "").replace("/", "")


def split_colour(code: str) -> tuple[str, str]:
    """Base colour and stripe of a code, the stripe "" where there is none; ValueError for no code."""
    found = _WRITTEN.fullmatch(code)
    if not found:
        raise ValueError(f"{code!r} is no colour code")
    return found[1], found[2] or ""


def colour_name(code: str) -> str:
    """The colours in words, such as "green-yellow" and "white-blue"."""
    base, stripe = split_colour(code)
    return _CODES[base] + (f"-{_CODES[stripe]}" if stripe else "")
