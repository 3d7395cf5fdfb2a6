"""The cabinet does not keep out what it must.

A hand must not reach live parts through the enclosure, and what drips must not reach them either: IEC 60204-1 asks for
IP22 at least, and IP2X wherever the voltage is above extra-low. What the site says that it is exposed to it keeps out
as well: dust and chips from IP5X on, mist of coolant from IP54, a hose from IPX5 (IEC 60529), else a type of NEMA 250.
A cabinet with openings for air does not keep out dust, whatever is printed on it, and one with a fan not a hose.

Fires on sorting-gate at enclosure
    enclosure.protection=IP20
Quiet
    enclosure.protection=IP54
Not judged
    A cabinet that gives no degree of protection (`protection`), or an X in place of a numeral that counts; one that
    lets in dust or mist, where the site does not say whether there is any (`exposed_to`).
Known limits
    Whether there is a hose is not asked. Enclosure types of NEMA 250 are taken to keep out hands and drips. Devices on
    the door and on the machine are not judged.
"""

from __future__ import annotations

from wiring.design.enclosure.degree_of_protection import DUST_TYPES, JET_TYPES, let_in, type_of
from wiring.findings import Mend
from wiring.parts.elements import Input
from wiring.plan.edits import SetValue
from wiring.plan.source import Place
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import words
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import listed

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
_ENTERING = {"dust": "dust", "mist": "mist of coolant", "hose": "the jet of a hose"}


def check(design: Design) -> Judgements:
    """The cabinet, once."""
    given = design.plan.enclosure
    if given is None or given.protection is None:
        if any(part.data.at in ("cabinet", "door") for part in design.parts.values()):
            yield RULE.not_judged(("enclosure",), "the degree of protection of the cabinet (`protection: IP54`)")
        return
    if not given.protection.startswith("IP"):
        yield from _of_type(design, given.protection, given.ventilated, given.fan is not None)
        yield from _exposed(design, given.protection)
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
        return
    yield from _exposed(design, given.protection)


def _exposed(design: Design, protection: str) -> Judgements:
    """What the cabinet lets in and the site has; a question where the site says nothing."""
    said, entering = design.plan.site.exposed_to, let_in(protection)
    if said is None and "mist" in entering:
        missing = "whether dust or mist reaches the cabinet (`site: {exposed_to: [mist]}`, or `[]`)"
        yield RULE.not_judged(("enclosure",), missing, _place(design))
    if found := [word for word in _ENTERING if word in entering and word in (said or ())]:
        what = listed([_ENTERING[word] for word in found])
        wanted = ("IP65", "type 4") if "hose" in found else ("IP54", "type 12")
        better = wanted[0] if protection.startswith("IP") else wanted[1]
        yield _finding(design, protection, f"lets in {what}, to which it is exposed", better)


def _of_type(design: Design, protection: str, ventilated: bool | None, fan: bool) -> Judgements:
    """An enclosure of a type of NEMA 250 with openings that its type does not have."""
    kind = type_of(protection)
    if ventilated and kind in DUST_TYPES | JET_TYPES:
        yield _finding(design, protection, "keeps out dust and has openings for air")
    elif fan and kind in JET_TYPES:
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


def _finding(design: Design, code: str, what: str, better: str = "IP54") -> Judgement:
    least = (
        f"{words('enclosure_ip_min')} at least; IP54 where chips, dust or coolant fly" if better == "IP54" else better
    )
    return RULE.finding(
        ("enclosure",),
        f"The cabinet is {code}, which {what} ({RULE.source(design.plan.rulebook)})",
        _place(design),
        signal=Signal.WARNING if "finger" in what else None,
        mend=(
            "Take away the openings, or fit filters that keep the degree of protection."
            if "openings" in what
            else Mend(f"Take a cabinet of {least}.", (SetValue(("enclosure", "protection"), better),)),
        ),
    )
