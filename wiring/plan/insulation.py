"""The words for the insulation of conductors; what each bears stands in the tables of the rulebooks."""

from __future__ import annotations

from wiring.plan.fault import Refusal, nearest

INSULATION: tuple[str, ...] = (
    "pvc-70",
    "pvc-90",
    "pvc-105",
    "xlpe-90",
    "rubber-60",
    "silicone-180",
    "etfe-150",
    "ptfe-200",
    "MTW",
    "TW",
    "THW",
    "THHN",
    "THWN",
    "THWN-2",
    "XHHW",
    "XHHW-2",
    "RHH",
    "RHW-2",
    "TFFN",
)
_BY_FOLDED = {word.casefold(): word for word in INSULATION}


def read_insulation(text: str) -> str:
    """The word of the table, whatever its case; Refusal for an unknown one."""
    word = _BY_FOLDED.get(text.strip().casefold())
    if word is None:
        raise Refusal(f"{text[:40]!r} is no known insulation", ", ".join(INSULATION), "", nearest(text, INSULATION))
    return word
