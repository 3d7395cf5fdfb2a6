"""A small plan of our own with its findings, for the printers' tests."""

from dataclasses import dataclass

from msgspec.structs import replace

from wiring.findings import Cause, Finding, Mend, NotJudged, Number, Report, Signal
from wiring.plan.fault import Fault
from wiring.plan.source import Place, Source
from wiring.plan.tree import read_tree
from wiring.rulebooks.citation import Limit, Standing
from wiring.rulebooks.citation import Source as Citation

FILE = "winder.yaml"
WIRE = "  - {wire: 202, from: F4:2, to: D2:V+, size: 18 AWG, length: 2 m}"
FUSE = "  F4: {kind: fuse, rating: 10 A, class: CC}"
PLAN_LINES = ["# a bench machine that winds coils"] * 200
PLAN_LINES[39:41] = ["parts:", FUSE]
PLAN_LINES[116:118] = ["wires:", WIRE]


def source_of(file: str, text: str) -> Source:
    """A file with its lines and the tree of its values."""
    source = Source.of(file, text)
    return replace(source, tree=read_tree(source, text)[0])


SOURCES = {FILE: source_of(FILE, "\n".join(PLAN_LINES))}


@dataclass(frozen=True)
class Rule:
    slug: str
    title: str
    harm: str = ""


RULES = (
    Rule("fuse-above-wire", "Fuse is larger than its wire allows", "The wire can catch fire."),
    Rule("shield-ends", "Shield is open at both ends"),
)


def place(line: int, text: str, word: str) -> Place:
    return Place(FILE, line, text.index(word) + 1, len(word))


CITED = Citation("NFPA 79", "2021", "12.6.1.2", Standing.FROM_MEMORY)

FUSE_FINDING = Finding(
    rule="fuse-above-wire",
    signal=Signal.WARNING,
    subjects=("202", "F4"),
    summary="Wire 202 of 18 AWG lies behind F4 of 10 A; the most that may protect it is 7 A.",
    place=place(118, WIRE, "18 AWG"),
    because=(Cause(place(41, FUSE, "10 A"), "opens here at the earliest"),),
    numbers=(Number("fuse", 10.0, "A", "F4, class CC"), Number("load", 4.8123456789, "A", "computed, state fast")),
    limit=Limit(7.0, "A", CITED, "power circuit without motor"),
    harm="A fault just below the fuse rating keeps flowing and can set the wire's insulation on fire.",
    mends=(Mend("Set F4 to 7 A, which carries the load."), Mend("Make wire 202 16 AWG (limit 10 A).")),
)

SHIELD_FINDING = Finding(
    rule="shield-ends",
    signal=Signal.NOTICE,
    subjects=("C1",),
    summary="The shield of cable C1 is bonded at neither end.",
    accepted="Bench test only, cable of 0.2 m.",
)

NOT_JUDGED = (
    NotJudged("voltage-drop", ("200.1",), "the length of the wire"),
    NotJudged("voltage-drop", ("200.2",), "the length of the wire"),
    NotJudged("inrush-trips-breaker", ("F1",), "the inrush current of G1", Place(FILE, 3, 1, 4)),
)

FIGURES = {
    "supplies": {
        "G10": {"fast": {"current_a": 1.0, "available_a": 4.0, "headroom": 0.75}},
        "G2": {
            "ready": {"current_a": 0.0123456789, "available_a": 4.25, "headroom": 0.9971},
            "fast": {"current_a": 3.5, "available_a": 4.25, "headroom": 0.1765, "peak_a": 5.2},
        },
    },
    "conductors": {
        "201": {"current_a": 2.0, "ampacity_a": 8.0, "drop_v": 0.1, "temperature_c": 41.0},
        "202": {"current_a": 4.8, "ampacity_a": 7.0, "drop_v": 0.2, "temperature_c": 55.0},
        "203": {"current_a": 1.0, "ampacity_a": None, "drop_v": 0.0124, "temperature_c": 36.0},
    },
    "protection": {"F4": {"load_a": 4.8, "fault_a": 1200.0, "clears_s": 0.004}},
    "stops": {"emergency": {"removed": ["M1"], "left": [], "single_faults": 12, "dangerous": [], "hidden": []}},
    "enclosure": {"heat_w": 61.5, "rise_k": 12.34, "inside_c": 47.34},
}

REPORT = Report(FILE, "na", (SHIELD_FINDING, FUSE_FINDING), NOT_JUDGED, FIGURES, (), 41)

FAULTS = (
    Fault(
        place(118, WIRE, "18 AWG"),
        "the wire size '18 AGW' has the unknown unit 'AGW'",
        "a size such as 1.5 mm2 or 18 AWG",
        "write the unit as it is listed",
        ("AWG",),
    ),
    Fault(place(41, FUSE, "F4"), "F4 is given twice", other=(place(118, WIRE, "F4"),)),
)
