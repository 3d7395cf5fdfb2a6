"""What a current does to a wire beyond any rating: when it melts."""

from __future__ import annotations

from math import log10, sqrt

from wiring.rulebooks.conductors import MM2_PER_CIRCULAR_MIL

COPPER_MELTS_C = 1083.0
_PREECE_A_PER_MM_1_5 = 80.0


def preece_a(diameter_mm: float) -> float:
    """Steady current that melts a bare copper wire in still air, A: 80.0 d^1.5, d in mm (10244 d^1.5, d in inch).

    Source: W. H. Preece, as tabled on a public fuse page. Insulation fails at a third to a half of it.
    """
    return float(_PREECE_A_PER_MM_1_5 * diameter_mm**1.5)


def onderdonk_a(area_mm2: float, time_s: float, ambient_c: float, melts_c: float = COPPER_MELTS_C) -> float:
    """Current that melts copper in `time_s` without losing heat, A; valid for about 0.1 to 10 s.

    A_cmil sqrt(log10((Tm - Ta)/(234 + Ta) + 1)/(33 t)). ValueError without time. Source: I. M. Onderdonk; a copy with
    234 - Ta is in circulation, has the wrong sign and gives 5 % more.
    """
    if time_s <= 0:
        raise ValueError("melting takes some time above 0 s")
    mils = area_mm2 / MM2_PER_CIRCULAR_MIL
    return mils * sqrt(log10((melts_c - ambient_c) / (234 + ambient_c) + 1) / (33 * time_s))
