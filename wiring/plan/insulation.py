"""Insulation of conductors and the highest conductor temperature each bears."""

from __future__ import annotations

from dataclasses import dataclass

from wiring.plan.fault import Refusal, nearest


@dataclass(frozen=True, slots=True)
class InsulationType:
    """Highest conductor temperature in °C, dry and in wet places (None: not for wet places), and where it stands."""

    word: str
    highest_c: float
    wet_c: float | None
    source: str
    standing: str


_IEC = "IEC 60364-5-52, table 52.1"
_TRADE = "common practice, no source"
_NEC = "NFPA 70, table 310.4(1)"
_TABLE = (
    InsulationType("pvc-70", 70, 70, _IEC, "from memory"),
    InsulationType("pvc-90", 90, None, _TRADE, "common practice"),
    InsulationType("pvc-105", 105, None, _TRADE, "common practice"),
    InsulationType("xlpe-90", 90, 90, _IEC, "from memory"),
    InsulationType("rubber-60", 60, 60, "IEC 60245", "from memory"),
    InsulationType("silicone-180", 180, None, "IEC 60245-3", "from memory"),
    InsulationType("etfe-150", 150, None, _TRADE, "common practice"),
    InsulationType("ptfe-200", 200, None, _TRADE, "common practice"),
    InsulationType("MTW", 90, 60, _NEC, "from memory"),
    InsulationType("TW", 60, 60, _NEC, "from memory"),
    InsulationType("THW", 75, 75, _NEC, "from memory"),
    InsulationType("THHN", 90, None, _NEC, "from memory"),
    InsulationType("THWN", 75, 75, _NEC, "from memory"),
    InsulationType("THWN-2", 90, 90, _NEC, "from memory"),
    InsulationType("XHHW", 90, 75, _NEC, "from memory"),
    InsulationType("XHHW-2", 90, 90, _NEC, "from memory"),
    InsulationType("RHH", 90, None, _NEC, "from memory"),
    InsulationType("RHW-2", 90, 90, _NEC, "from memory"),
    InsulationType("TFFN", 90, None, "NFPA 70, table 402.3", "from memory"),
)

INSULATION: dict[str, InsulationType] = {row.word: row for row in _TABLE}
_BY_FOLDED = {word.casefold(): word for word in INSULATION}


def read_insulation(text: str) -> str:
    """The word of the table, whatever its case; Refusal for an unknown one."""
    word = _BY_FOLDED.get(text.strip().casefold())
    if word is None:
        raise Refusal(f"{text[:40]!r} is no known insulation", ", ".join(INSULATION), "", nearest(text, INSULATION))
    return word
