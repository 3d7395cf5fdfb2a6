"""Contacts as a plan writes them: a pair of terminals, and what the contact between them does."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Annotated, Literal

from wiring.parts.elements import Function, Terminal
from wiring.plan.fault import Refusal
from wiring.plan.model import Before

ContactWord = Literal["NO", "NC"]
CONTACT_EXTRAS = ("mirror", "direct", "late", "early")
_PAIR = re.compile(r"([^-\s]+-?)-([^-\s]+-?)")


def split_pair(text: str) -> tuple[str, str]:
    """`13-14` as two terminals; a marking may end in a minus: `IN+-IN-`.

    Raises Refusal (a ValueError) when it is not two markings joined by a hyphen.
    """
    match = _PAIR.fullmatch(text)
    if match is None:
        raise Refusal(f"{text[:40]!r} is no pair of terminals", "two markings joined by a hyphen, such as 13-14")
    return match[1], match[2]


def _pair(value: object) -> object:
    if isinstance(value, str):
        split_pair(value)
    return value


#: Two terminal markings joined by a hyphen: 13-14.
TerminalPair = Annotated[str, Before(_pair)]


def _contact(value: object) -> object:
    words = value.split() if isinstance(value, str) else []
    if not words or words[0] not in ("NO", "NC") or any(word not in CONTACT_EXTRAS for word in words[1:]):
        raise Refusal(
            f"{str(value)[:40]!r} is no contact",
            "NO or NC, with mirror, direct, late or early behind it where that holds",
        )
    return value


#: What a contact does: NO, NC, `NC mirror`, `NC direct`, `NO late`.
Contact = Annotated[str, Before(_contact)]
Contacts = dict[TerminalPair, Contact]


def contact_points(contacts: Mapping[str, str], required: bool = False) -> list[Terminal]:
    """The terminals of a set of contacts."""
    return [Terminal(end, Function.CONTACT, required) for pair in contacts for end in split_pair(pair)]
