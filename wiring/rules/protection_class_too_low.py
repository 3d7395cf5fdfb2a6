"""The cabinet does not keep out what it must.

A hand must not reach live parts through the enclosure, and what drips must not reach them either: IEC 60204-1 asks for
IP22 at least, and IP2X wherever the voltage is above extra-low. A cabinet with openings for air does not keep out dust,
whatever is printed on it, and one with a fan in its wall not the jet of a hose.

Fires on sorting-gate at enclosure
    enclosure.protection=IP20
Quiet
    enclosure.protection=IP54
Not judged
    A cabinet that gives no degree of protection (`protection`), or an X in place of a numeral that counts.
Known limits
    Dust, chips, coolant and hosing at the place of the machine are not in a plan: they may ask for more (IP54, IP65,
    type 12, type 4). Enclosure types of NEMA 250 are taken to keep out hands and drips. Devices on the door and on the
    machine are not judged.
"""

from __future__ import annotations

from wiring.findings import Mend
from wiring.parts.elements import Input
from wiring.plan.edits import SetValue
from wiring.plan.source import Place
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import words
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="protection-class-too-low",
    title="Cabinet does not keep out what it must",
    signal=Signal.CAUTION,
    gravest=Signal.WARNING,
    harm="A finger reaches live parts, or water and dust creep across them until something arcs.",
    sources=(("iec", iec_60204("11.3")), ("na", nfpa_79("11.3"))),
)
#: First numeral of IEC 60529 that keeps out a finger (IP2X), and the one that keeps out dust.
_FINGER, _DUST = 2, 5
#: Second numerals above what the filter fans of the trade keep (IP55 at most; common practice, no source).
_JET = frozenset("6789")
#: Types that keep out dust, and those that keep out the water of a hose (NEMA 250, table 1).
_DUST_TYPES = frozenset({"3", "3S", "3X", "3SX", "5", "12", "12K", "13"})
_JET_TYPES = frozenset({"4", "4X", "6", "6P"})


def check(design: Design) -> Judgements:
    """The cabinet, once."""
    given = design.plan.enclosure
    if given is None or given.protection is None:
        if any(part.data.at in ("cabinet", "door") for part in design.parts.values()):
            yield RULE.not_judged(("enclosure",), "the degree of protection of the cabinet (`protection: IP54`)")
        return
    if not given.protection.startswith("IP"):
        yield from _of_type(design, given.protection, given.ventilated, given.fan is not None)
        return
    first, second = given.protection[2], given.protection[3]
    least = words("enclosure_ip_min")
    if first.isdigit() and int(first) < _FINGER and _is_dangerous(design):
        wanted = words("ip_inside_enclosure_live_parts")
        yield _finding(design, given.protection, f"lets a finger in, where {wanted} is the least")
    elif _is_below(first, least[2]) or _is_below(second, least[3]):
        yield _finding(design, given.protection, f"is below {least}")
    elif given.ventilated and _is_dust_tight(first):
        yield _finding(design, given.protection, "keeps out dust and has openings for air")
    elif given.fan and (first == "6" or second in _JET):
        yield _finding(design, given.protection, "keeps out dust and jets, and has the openings of a fan")
    elif "X" in (first, second):
        yield RULE.not_judged(("enclosure",), f"the numeral that {given.protection} leaves open", _place(design))


def _of_type(design: Design, protection: str, ventilated: bool | None, fan: bool) -> Judgements:
    """An enclosure of a type of NEMA 250 with openings that its type does not have."""
    kind = protection.removeprefix("type").strip().upper()
    if ventilated and kind in _DUST_TYPES | _JET_TYPES:
        yield _finding(design, protection, "keeps out dust and has openings for air")
    elif fan and kind in _JET_TYPES:
        yield _finding(design, protection, "keeps out the jet of a hose and has the openings of a fan")


def _is_below(numeral: str, least: str) -> bool:
    return numeral.isdigit() and least.isdigit() and int(numeral) < int(least)


def _is_dust_tight(first: str) -> bool:
    return first.isdigit() and int(first) >= _DUST


def _is_dangerous(design: Design) -> bool:
    """Whether a part takes or gives a voltage above extra-low."""
    for part in design.parts.values():
        for element in part.elements:
            volts = element.high_v if isinstance(element, Input) else getattr(element, "volts", 0.0)
            band = design.book.extra_low_voltage("DC" if getattr(element, "kind", "") == "DC" else "AC")
            if isinstance(band, Limit) and volts > band.value:
                return True
    return design.plan.mains is not None


def _place(design: Design) -> Place:
    return design.reading.place("enclosure", "protection")


def _finding(design: Design, code: str, what: str) -> Judgement:
    finger = "finger" in what
    return RULE.finding(
        ("enclosure",),
        f"The cabinet is {code}, which {what} ({RULE.source(design.plan.rulebook)})",
        _place(design),
        signal=Signal.WARNING if finger else None,
        mend=(
            "Take away the openings, or fit filters that keep the degree of protection."
            if "openings" in what
            else Mend(
                f"Take a cabinet of {words('enclosure_ip_min')} at least; IP54 where chips, dust or coolant fly.",
                (SetValue(("enclosure", "protection"), "IP54"),),
            ),
        ),
    )
