"""Colours of conductors, smallest sizes and devices ahead of small conductors, by the clauses named."""

import pytest

from wiring.quantities import parse_wire_size
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.book import IEC, NA
from wiring.rulebooks.separation import separation

ROLES = (
    "mains live", "neutral", "protective earth", "DC plus", "0 V", "separate AC", "signal", "motor phase", "shield",
    "functional earth", "excepted",
)  # fmt: skip


@pytest.mark.parametrize(
    ("book", "role", "use", "colour"),
    [
        # IEC 60204-1 13.2.2 to 13.2.4
        (IEC, "protective earth", "power", "GNYE"),
        (IEC, "protective earth", "power", "YEGN"),
        (IEC, "neutral", "power", "LBU"),
        (IEC, "neutral", "power", "BU"),
        (IEC, "mains live", "power", "BK"),
        (IEC, "mains live", "control", "RD"),
        (IEC, "DC plus", "control", "DBU"),
        (IEC, "0 V", "control", "BU"),
        (IEC, "excepted", "control", "OG"),
        (IEC, "signal", "control", "WH"),
        # NFPA 79 13.2, UL 508A 66
        (NA, "protective earth", "power", "GN"),
        (NA, "neutral", "power", "WH"),
        (NA, "neutral", "power", "GY"),
        (NA, "mains live", "power", "BK"),
        (NA, "separate AC", "control", "RD"),
        (NA, "DC plus", "control", "BU"),
        (NA, "0 V", "control", "WHBU"),
    ],
)
def test_colours_that_are_right(book, role, use, colour):
    assert book.colour_faults(role, colour, use) == ()


@pytest.mark.parametrize(
    ("book", "role", "colour", "binding"),
    [
        (IEC, "protective earth", "GN", True),
        (IEC, "neutral", "DBU", True),
        (IEC, "mains live", "LBU", True),
        (IEC, "mains live", "BU", True),
        (IEC, "signal", "GNYE", True),
        (IEC, "signal", "YE", False),
        (IEC, "DC plus", "LBU", False),
        (IEC, "DC plus", "RD", False),
        (NA, "protective earth", "BK", True),
        (NA, "neutral", "LBU", True),
        (NA, "mains live", "WH", True),
        (NA, "DC plus", "GN", True),
        (NA, "DC plus", "WH", False),
        (NA, "mains live", "RD", False),
    ],
)
def test_colours_that_are_wrong(book, role, colour, binding):
    """One rule at least is broken, and a binding one only where the clause demands it."""
    broken = book.colour_faults(role, colour)
    assert broken
    assert broken[0].binding is binding
    assert all(rule.source.clause for rule in broken)


@pytest.mark.parametrize("book", [IEC, NA])
@pytest.mark.parametrize("use", ["power", "control"])
@pytest.mark.parametrize("role", ROLES)
def test_every_role_has_a_colour_that_breaks_no_rule(book, use, role):
    wanted = [colour for rule in book.colour_rules(role, use) if "re" in rule.strength[:2] for colour in rule.colours]
    right = [colour for colour in [*wanted, "VT"] if not book.colour_faults(role, colour, use)]
    assert right
    assert len({book.colour_faults(other, "GNYE", use) == () for other in ROLES}) == 2


@pytest.mark.parametrize(
    ("place", "use", "shape", "minimum_mm2"),
    [
        # IEC 60204-1 table 5
        ("enclosure", "power", {}, 0.75),
        ("enclosure", "power", {"conductor_class": "1"}, 0.75),
        ("enclosure", "power", {"cores": 3}, 0.75),
        ("enclosure", "control", {}, 0.2),
        ("enclosure", "data", {}, 0.2),
        ("machine", "power", {}, 1.0),
        ("machine", "power", {"conductor_class": "2"}, 1.5),
        ("machine", "power", {"cores": 4}, 0.75),
        ("machine", "power", {"cores": 4, "moving": True}, 0.75),
        ("machine", "control", {"cores": 2}, 0.5),
        ("machine", "control", {"cores": 2, "shielded": True}, 0.2),
        ("machine", "data", {"cores": 6}, 0.08),
    ],
)
def test_smallest_size_iec(place, use, shape, minimum_mm2):
    assert IEC.minimum_size(place, use, **shape).value == minimum_mm2


@pytest.mark.parametrize(
    ("place", "use", "cores", "gauge"),
    [
        # NFPA 79 12.6
        ("enclosure", "control", 1, "18 AWG"),
        ("machine", "control", 1, "16 AWG"),
        ("machine", "control", 2, "18 AWG"),  # two cores are a multiconductor cable
        ("machine", "control", 4, "18 AWG"),
        ("machine", "power", 1, "14 AWG"),
        ("enclosure", "data", 1, "26 AWG"),
        ("machine", "data", 1, "24 AWG"),
        ("machine", "data", 2, "30 AWG"),
        ("machine", "data", 8, "30 AWG"),
    ],
)
def test_smallest_size_north_america(place, use, cores, gauge):
    answer = NA.minimum_size(place, use, cores=cores)
    assert answer.value == parse_wire_size(gauge).area_mm2
    assert gauge in answer.note


def test_what_has_no_smallest_size():
    assert isinstance(NA.minimum_size("machine", "data", shielded=True), NotTabled)
    moved = IEC.minimum_size("machine", "power", conductor_class="1", moving=True)
    assert isinstance(moved, NotTabled)
    assert "moves" in moved.reason
    with pytest.raises(ValueError, match="no such place"):
        IEC.minimum_size("roof", "power")


@pytest.mark.parametrize(
    ("text", "circuit", "device_a"),
    [
        # NFPA 70 240.4(D): 18 AWG 7 A, 16 AWG 10 A, 14 AWG 15 A, 12 AWG 20 A, 10 AWG 30 A
        ("18 AWG", "power", 7),
        ("16 AWG", "power", 10),
        ("14 AWG", "power", 15),
        ("12 AWG", "power", 20),
        ("10 AWG", "power", 30),
        # NFPA 79 7.2.4
        ("22 AWG", "control", 3),
        ("16 AWG", "control", 10),
        # mm2 as the next smaller gauge: 2.5 mm2 is 14 AWG, 6 mm2 is 10 AWG
        ("2.5 mm2", "power", 15),
        ("6 mm2", "power", 30),
    ],
)
def test_largest_device(text, circuit, device_a):
    answer = NA.largest_device(parse_wire_size(text), circuit)
    assert answer.value == device_a
    assert ("is judged as" in answer.note) == ("mm2" in text)


def test_devices_that_follow_something_else():
    for book, text, circuit in (
        (IEC, "1.5 mm2", "power"),
        (NA, "8 AWG", "power"),
        (NA, "14 AWG", "motor"),
        (NA, "20 AWG", "power"),
    ):
        answer = book.largest_device(parse_wire_size(text), circuit)
        assert isinstance(answer, NotTabled)
        assert answer.reason


@pytest.mark.parametrize(
    ("text", "circuit", "overload_class", "load_a"),
    [
        # NFPA 79 12.6.1: 16 AWG 8 A, motors 8 A behind class 10 and 5.5 A behind class 20; 18 AWG 5.6, 5 and 3.5 A
        ("16 AWG", "power", "20", 8),
        ("16 AWG", "motor", "10", 8),
        ("16 AWG", "motor", "20", 5.5),
        ("18 AWG", "power", "20", 5.6),
        ("18 AWG", "motor", "10", 5),
        ("1.0 mm2", "motor", "20", 3.5),
    ],
)
def test_largest_load(text, circuit, overload_class, load_a):
    assert NA.largest_load(parse_wire_size(text), circuit, overload_class).value == load_a


def test_larger_conductors_have_no_limit_of_load_but_their_ampacity():
    for book, text in ((NA, "14 AWG"), (NA, "6 mm2"), (NA, "20 AWG"), (IEC, "0.75 mm2")):
        assert isinstance(book.largest_load(parse_wire_size(text), "power"), NotTabled)


def test_no_distance_is_tabled_for_unknown_cables():
    assert isinstance(separation("gas pipe", "unscreened data"), NotTabled)
    assert separation("screened data", "screened power", "steel").value == 0  # EN 50174-2 table 1: any divider
    assert separation("signal", "unscreened motor").value == 300
