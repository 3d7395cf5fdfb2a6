"""Law: a value that is left out is asked for wherever it could have spoken.

For every key that states knowledge (a rating, a length, a setting, a curve; not what is built) another value is written
that makes a rule speak at or above CAUTION. Where the key is left out instead, that rule must still find the fault or
hold an open question on one of its subjects, or another rule of at least its gravity ask for that very key of the part,
so that to say less never makes a plan better. A finding that does not name the part of the key is what follows
elsewhere: for it a question of at least its gravity on that part will do, and for site, mains and cabinet, on which
everything rests, any such question that was not asked before.

What is tried are values that a machine may have: a rating just below what is asked, but not below what every part of
the kind bears; a property twice as large or small, a share of a whole or a voltage by a tenth; another word of the
list.

Plans that are broken already are held to the same: no key that is left out may turn them clear.

CI tries a sample drawn by the hash of each plan's text; `WIRING_LAWS=all` tries every key of every spec.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from math import inf
from pathlib import Path
from typing import Any, Literal, get_args, get_origin

import pytest
from law_keys import Key, field_of, keys_of, states_knowledge
from law_plans import FAULTY, SPECS, at, drawn, loaded, plan_of, with_value, without
from plain_plans import Plan
from test_every_rating_is_compared import RATED, lowered_places

from wiring.findings import Finding, Signal, Verdict
from wiring.rules import OF_LOADS
from wiring.rules.run import Told, judge, tell

#: How much a property may differ from what a plan says and still be one of the same kind of part.
PLAUSIBLE = 2.0
#: Places where the law does not hold yet, each with its reason.
KNOWN = {
    ("coil-winder", "parts.G1.efficiency"): "wire 200 stands at its limit: a kelvin more in the cabinet is told of it",
}
#: What the whole machine rests on: a question on it stands for all that follows.
WHOLE = ("site", "mains", "enclosure")
#: Shares of a whole, such as an efficiency, multiples, such as that of a starting current, and voltages differ less.
PLAUSIBLE_SHARE = 1.1
#: What every part of a kind bears, so that a lower rating is none [A or V]: a contact 1 A, a terminal 10 A, what every
#: output gives (common practice, no source); insulation and parts an extra-low voltage; a breaker 1.5 kA (the lowest
#: of IEC 60898-1, from memory), a fuse of the classes in the specs 6 kA (IEC 60269-2, UL 248, from memory); a contactor
#: and a main switch what their categories ask of their rated current, which is asked for in its place (IEC 60947-3,
#: table 3, and 60947-4-1, table 7, from memory); a drive of the specs on a DC bus a device of its own current, 4.2 A
#: (common practice, no source); one without a limit of its bus is held to the upper end of its supply, which no drive
#: survives less than.
LEAST = {
    "contact-overloaded": {"Inlet": 10.0, "Filter": 10.0, "Terminals": 10.0, "Connector": 10.0, "": 1.0},
    "output-overloaded": {"": 0.02},
    "part-voltage-exceeded": {"": 50.0},
    "insulation-voltage-too-low": {"": 50.0},
    "breaking-capacity-too-small": {
        "Breaker": 1500.0,
        "ResidualCurrentDevice": 1500.0,
        "Fuse": 6000.0,
        "PoleFuse": 6000.0,
    },
    "inrush-welds-contact": {"Contactor": inf, "Disconnector": inf},
    "regeneration-too-high": {"Drive": inf},
    "drive-device-too-large": {"Drive": 4.2},
}
#: A finding or question by its rule and subjects.
Name = tuple[str, tuple[str, ...]]
_NUMBER = re.compile(r"(?<![\w./])\d+\.?\d*")
#: What other data of a part bound: the current of a motor follows from its power and voltage.
_BOUND = {"Motor.rated_current", "ServoMotor.rated_current"}
_LITTLE = re.compile(r"%$| V( AC| DC)?$")
_SIZES = {"mm2": ("0.25 mm2", "35 mm2"), "AWG": ("24 AWG", "1/0 AWG")}


def other_values(key: Key) -> Iterator[str]:
    """Other values of a key that a machine may have."""
    text = key.value
    if not isinstance(text, str):
        return
    if text in ("true", "false"):
        yield "false" if text == "true" else "true"
    elif words := [one for one in _words(field_of(key).annotation) if one != text]:
        yield from words
    elif text.split()[-1] in _SIZES and ".." not in text:
        yield from _SIZES[text.split()[-1]]
    elif text[:1].isdigit() and ".." not in text and "°C" not in text:
        little = _LITTLE.search(text) or _NUMBER.fullmatch(text) or ".".join(key.schema) in _BOUND
        most = PLAUSIBLE_SHARE if little else PLAUSIBLE
        for factor in (1 / most, most):
            yield _NUMBER.sub(lambda number, by=factor: f"{float(number[0]) * by:.6g}", text, count=1)


def _words(annotation: Any) -> list[str]:
    if get_origin(annotation) is Literal:
        return [str(one) for one in get_args(annotation)]
    return [word for one in get_args(annotation) if not isinstance(one, str) for word in _words(one)]


def told(plan: Plan) -> Told | None:
    """What the rules on loads say of a plan; None where it is refused."""
    design = loaded(plan).design
    return None if design is None else tell(design, OF_LOADS)


def loud(said: Told) -> dict[Name, Finding]:
    """What is found at or above CAUTION and follows from nothing else."""
    found = [one for one in said.findings if one.signal is not Signal.NOTICE and not one.explained_by]
    return {(one.rule, one.subjects): one for one in found}


@cache
def base(path: Path) -> tuple[Plan, frozenset[Name], frozenset[Name], tuple[Key, ...]]:
    """A plan, what is found in it, what is asked of it, and its keys of knowledge with a single value."""
    plan = plan_of(path.read_text("utf-8"))
    said = told(plan)
    assert said is not None
    keys = tuple(key for key in keys_of(plan) if _is_left_out_without(plan, key))
    return plan, frozenset(loud(said)), frozenset((one.rule, one.subjects) for one in said.not_judged), keys


def _is_left_out_without(plan: Plan, key: Key) -> bool:
    """Whether a plan without a key says less: a single value of knowledge that no wire type says in its place."""
    owner = at(plan, key.spot[:-1])
    kind = plan["wire_types"].get(owner.get("type"), {}) if key.spot[0] in ("wires", "cables") else {}
    return states_knowledge(key) and isinstance(key.value, str) and key.name not in kind


def unasked(path: Path, key: Key) -> list[str]:
    """The rules that another value of a key makes speak, and that say nothing where it is left out."""
    plan, before, asked, _ = base(path)
    silent = told(without(plan, key.spot))
    if silent is None:
        return []  # the key must be given
    wrong = []
    values = [*other_values(key), *(one.value for one in lowered_places(path) if one.key.spot == key.spot)]
    for value in values:
        said = told(with_value(plan, key.spot, value))
        for name, finding in loud(said).items() if said is not None else ():
            if (
                name not in before
                and not _is_below_all(key, value, finding.rule)
                and not _answered(silent, finding, key, asked)
            ):
                wrong.append(f"{key.where} = {value}: {finding.rule} on {', '.join(finding.subjects)}")
    return wrong


def _is_below_all(key: Key, value: Any, rule: str) -> bool:
    """Whether a value is less than every part of the kind bears."""
    least = LEAST.get(rule, {})
    number = re.match(r"([\d.]+) *(k|m)?[AV]\b", str(value))
    if number is None:
        return False
    si = float(number[1]) * {"k": 1e3, "m": 1e-3, None: 1.0}[number[2]]
    return si < least.get(key.schema[0], least.get("", 0.0))


def _answered(said: Told, finding: Finding, key: Key, asked: frozenset[Name]) -> bool:
    """Whether the same rule still finds it or asks about one of its subjects; for what follows elsewhere, any rule."""
    subjects = set(finding.subjects)
    still = (one for one in (*loud(said).values(), *said.not_judged) if one.rule == finding.rule)
    if any(subjects & set(one.subjects) for one in still):
        return True
    grave = [one for one in said.not_judged if one.signal.rank <= finding.signal.rank]
    if key.spot[0] in WHOLE:
        return any((one.rule, one.subjects) not in asked for one in grave)
    part = str(key.spot[1])
    named = [one for one in grave if part in one.subjects]
    return any(part not in subjects or key.name in one.missing for one in named)


@pytest.mark.parametrize("path", SPECS, ids=lambda path: path.stem)
def test_a_value_left_out_is_asked_for_where_it_could_have_spoken(path: Path) -> None:
    *_, keys = base(path)
    tried = [key for key in drawn(keys, path.read_text("utf-8"), 4) if (path.stem, key.where) not in KNOWN]
    assert [wrong for key in tried for wrong in unasked(path, key)] == []


@pytest.mark.parametrize("path", FAULTY, ids=lambda path: path.stem)
def test_a_faulty_plan_that_says_less_is_not_clear(path: Path) -> None:
    plan, *_, keys = base(path)
    text = path.read_text("utf-8")
    clear = []
    for key in drawn(keys, text, 1):
        design = loaded(without(plan, key.spot)).design
        if design is not None and judge(design).verdict is Verdict.CLEAR:
            clear.append(key.where)
    assert clear == []


def test_every_rated_key_states_knowledge() -> None:
    plans = [plan_of(path.read_text("utf-8")) for path in SPECS]
    rated = {key.schema: key for plan in plans for key in keys_of(plan) if ".".join(key.schema) in RATED}
    assert len(rated) > 40
    assert [key.where for key in rated.values() if not states_knowledge(key)] == []
