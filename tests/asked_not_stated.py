"""The law that no mend hides a fault: what only says that all is as it should be is a question to the person.

An edit of what a person knows, wants or asks of the machine changes no machine: the wire stays where it is, and the
finding is gone.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from wiring.findings import Finding, Mend
from wiring.plan.edits import Edit

#: Sections that say what stands worked, what is wanted of a stop, what was judged, what building and place give.
_SECTIONS = {"states", "stops", "accepted", "mains", "site"}
#: Keys of a part that say for what it is used or what hangs on it, not which part it is or how it is set.
_KEYS = {"title", "note", "at", "metal", "hazardous", "purpose", "work", "load_inertia", "vertical", "self_locking"}
_KEYS |= {"holds", "ends", "gravity_torque", "operating_time", "parallel", "terminals"}
#: A sentence that asks to write, with no question before it.
_STATES = re.compile(r"^(Or |or )?(write|state|say|mark|declare|name)\b|\bare (marked|written) `", re.IGNORECASE)
_QUESTION = re.compile(r"\? Then (write|mark)\b")


def states_only(edits: Iterable[Edit]) -> bool:
    """Whether edits change what the plan says is known or wanted, and nothing of the machine."""
    return all(edit.path[0] in _SECTIONS or (edit.path[0] == "parts" and edit.path[-1] in _KEYS) for edit in edits)


def faults_of(finding: Finding) -> list[str]:
    """What is wrong with the mends of a finding: each that states, and a question in front of what can be done."""
    found = [f"states: {mend.words}" for mend in finding.mends if _hides(mend)]
    first, *_ = finding.mends
    alone = all(_QUESTION.search(mend.words) for mend in finding.mends)
    return found + ([f"asks first: {first.words}"] if _QUESTION.search(first.words) and not alone else [])


def _hides(mend: Mend) -> bool:
    asks = bool(_QUESTION.search(mend.words))
    return (bool(mend.edits) and (asks or states_only(mend.edits))) or (not asks and bool(_STATES.search(mend.words)))
