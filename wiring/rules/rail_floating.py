"""A separate rail has no reference to earth.

A rail that feeds coils, contacts or inputs is tied to the protective earth at one point of its return, so that the
first fault to earth opens a fuse instead of waiting for the second one that bridges a contact. A rail above
extra-low voltage must not float either. Where coils of a machine with stops hang on it, a second fault may start it or
hold it past a stop (IEC 60204-1, 9.4.3.1), a WARNING; rails of other things are told as a NOTICE. The output of a
process source that its plan declares isolated may float, and so may a winding that only feeds a rectifier.

Fires on sorting-gate at G1
    PE4=
Quiet
    wires+={wire: PE4, from: X2:6, to: XPE:4, type: earth}
Not judged
    A plan without a mains inlet: it has no earth to tie a rail to.
Known limits
    An insulation monitor is no kind of part yet; accept the finding for a rail that one watches.
"""

from __future__ import annotations

from wiring.design.earth.floating_rails import feeds_coils, feeds_control, is_referenced, joined_sources, may_float
from wiring.design.edits import earthed
from wiring.design.nets import SourcePole
from wiring.findings import Mend, Number
from wiring.rulebooks.answers import NotTabled
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Standing, iec_60204, nfpa_79

RULE = Rule(
    slug="rail-floating",
    title="Rail has no reference to earth",
    signal=Signal.CAUTION,
    gravest=Signal.WARNING,
    harm="The first fault to earth stays unseen; the second bridges a contact, and a stop no longer stops.",
    sources=(("iec", iec_60204("9.4.3.1", Standing.ONE_SOURCE)), ("na", nfpa_79("8.3"))),
)


def check(design: Design) -> Judgements:
    """Every group of sources that is tied neither to the mains nor to the earth."""
    groups = [poles for poles in joined_sources(design) if not any(is_referenced(design, pole) for pole in poles)]
    if not groups:
        return
    if not design.earthing.inlets:
        names = sorted({pole.source for poles in groups for pole in poles})
        yield RULE.not_judged(names, "a mains inlet (`kind: inlet`) with its PE, to which a rail could be tied")
        return
    for poles in groups:
        if not may_float(design, poles):
            yield _finding(design, sorted(poles, key=lambda pole: (pole.source, pole.sign)))


def _finding(design: Design, poles: list[SourcePole]) -> Judgement:
    highest = max(poles, key=lambda pole: pole.volts)
    elv = design.book.extra_low_voltage(highest.kind)
    above = not isinstance(elv, NotTabled) and highest.volts > elv.value
    control = feeds_control(design, poles)
    grave = above or (bool(design.plan.stops) and feeds_coils(design, poles))
    signal = Signal.WARNING if grave else Signal.CAUTION if control else Signal.NOTICE
    names = sorted({pole.source for pole in poles})
    minus = next((pole for pole in poles if pole.sign in ("-", "~")), poles[0])
    return RULE.finding(
        names,
        f"The {highest.volts:.3g} V {highest.kind} rail of {', '.join(names)} is tied to the protective earth nowhere",
        design.place(names[0]),
        signal=signal,
        numbers=(Number("rail", highest.volts, "V", highest.source),),
        limit=elv if above and not isinstance(elv, NotTabled) else None,
        mend=(
            Mend(
                f"Tie {minus.node[0]}:{minus.node[1]}, the return of the rail, to a point of the earth bar of its own, "
                "at this one point only.",
                earthed(design, minus.node),
            ),
        ),
        rests=(scope("bond", *names),),
    )
