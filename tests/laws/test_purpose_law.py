"""Law: a part that no longer does what it is there for is told, with the word that `purposes.yaml` asks for.

Every contact of every part with a purpose is bridged, left out of its circuit, exchanged, led into another circuit or
swapped with that of a like part. Cases that may stay silent stand in `exceptions.yaml` with their physics: 2 % at most.
"""

from __future__ import annotations

import pytest
from law_cases import EVERYTHING, SPECS, exceptions, sample
from law_purposes import answers, grave_enough, idle_parts

#: Machines whose stop proof takes a second or less; a whole run tries all of them.
SMALL = ("drum-sander", "coil-winder", "tray-mover", "parts-washer")
SIZE = 5
ASKED = {one.case.name: one for one in idle_parts(SPECS if EVERYTHING else SMALL) if one.word is not None}
CHOSEN = sample([one.case for one in ASKED.values()], SIZE)


@pytest.mark.parametrize("name", [case.name for case in CHOSEN])
def test_a_part_that_does_nothing_is_told(name: str) -> None:
    one = ASKED[name]
    told = answers(one)
    assert told is None or any(grave_enough(each, one.word) for each in told) or name in exceptions("purpose")
