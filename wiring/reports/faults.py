"""Faults in the plan as it is written, all at once: place, entry, what was expected, how to mend it. Plain text."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from wiring.plan.fault import Fault, in_order
from wiring.plan.source import Source
from wiring.plan.whereabouts import Whereabouts
from wiring.reports.lines import clean, indented
from wiring.reports.words import CAUTION_IN_SHORT
from wiring.reports.written import Setting, Spot, told_places
from wiring.wording import counted

#: So many faults are printed; the format json has all.
MOST_FAULTS = 200
_NARROWEST = 32
_ADVICE = 12


def render_fault_text(
    faults: Iterable[Fault],
    sources: Mapping[str, Source],
    plan: str,
    *,
    width: int,
    encoding: str = "utf-8",
    noun: str = "plan",
) -> str:
    """Every fault in the order of the file, then their number. Lines of at most `width` columns (32 at the least)."""
    width = max(width, _NARROWEST)
    setting = Setting(Whereabouts(sources), plan, width, encoding, columns=noun != "plan")
    ordered = in_order(faults)
    lines: list[str] = []
    for fault in ordered[:MOST_FAULTS]:
        lines += [*_one_fault(fault, setting), ""]
    lines += indented(clean(_more(ordered) + _count(ordered, plan, noun), encoding), width, 0)
    return "".join(f"{line}\n" for line in lines)


def _more(faults: Sequence[Fault]) -> str:
    left = len(faults) - MOST_FAULTS
    return f"And {counted(left, 'fault')} more, which are not printed. " if left > 0 else ""


def _count(faults: Sequence[Fault], plan: str, noun: str = "plan") -> str:
    return (
        f"{counted(len(faults), 'fault')} in {plan}: the {noun} cannot be read, nothing was judged. {CAUTION_IN_SHORT}"
    )


def _one_fault(fault: Fault, setting: Setting) -> list[str]:
    if fault.place:
        lines = told_places([Spot(fault.place, fault.summary)], setting, 2)
        lines[0] = lines[0].lstrip()
    else:
        lines = indented(clean(f"{setting.plan}: {fault.summary}", setting.encoding), setting.width, 0)
    lines += told_places([Spot(place) for place in fault.other], setting, _ADVICE, "  And here")
    for label, text in _advice(fault):
        lines += indented(clean(text, setting.encoding), setting.width, _ADVICE, f"  {label}")
    return lines


def _advice(fault: Fault) -> list[tuple[str, str]]:
    told = [("Expected", fault.expected), ("Nearest", ", ".join(fault.near)), ("Mend", fault.mend)]
    return [(label, text) for label, text in told if text]


def render_fault_lines(faults: Iterable[Fault], plan: str, encoding: str = "utf-8") -> str:
    """One line for each fault, then one with their number."""
    ordered = in_order(faults)
    lines = [f"{fault.place or plan}: FAULT {_sentence(fault)}" for fault in ordered[:MOST_FAULTS]]
    return "".join(f"{clean(line, encoding)}\n" for line in [*lines, _more(ordered) + _count(ordered, plan)])


def _sentence(fault: Fault) -> str:
    return "; ".join([fault.summary, *(f"{label.lower()}: {text}" for label, text in _advice(fault))])
