"""Broken plans: the fault stands exactly at the mark «...» and says these words. The marks are set by hand."""

from __future__ import annotations

import pytest
from press import PRESS, spoil

from wiring.plan.fault import Fault
from wiring.plan.read import read_text

# (what stands in the press, what replaces it, summary, expected or "" where it is not compared, nearest known words)
CASES = [
    ("format: 1", "format: «2»", "`format`: '2' cannot stand here", "1", ()),
    ("rulebook: iec", "rulebook: «IEC»", "`rulebook`: 'IEC' cannot stand here", "iec or na", ("iec",)),
    ("machine: Press", "«machine»:", "`machine` has no value", "", ()),
    ("machine: Press", "machine: «[»Press]", "`machine`: a list stands here", "", ()),
    ("machine: Press", "machine: Press\n«date»:", "`date` has no value", "", ()),
    ("parts:\n", "site: {«ambient»: }\nparts:\n", "`ambient` has no value", "a value, or the key left out", ()),
    ("wires:\n", "«wirse»: a\nwires:\n", "'wirse' is not a key here", "", ("wires",)),
    # mains
    ("230 V", "«230»", "`voltage`: '230' needs a unit", "a voltage is written for example 230 V", ()),
    ("230 V", "«230 A»", "`voltage`: 230 A is a current", "a voltage, for example 230 V", ()),
    ("230 V", "«230 V DC»", "`voltage`: '230 V DC' is no mains voltage", "", ()),
    ("230 V", "«325 V peak»", "`voltage`: '325 V peak' is a peak value", "", ()),
    ("230 V", "«0 V»", "`voltage`: '0 V' is zero", "", ()),
    ("230 V", "«2,3 kV»", "the comma cuts this value in two", "for example 2.3 kV", ()),
    ("title: ram", "title: «ram, slow»", "the comma cuts this value in two", 'for example "ram, slow"', ()),
    ("50 Hz", "«1e999 Hz»", "`frequency`: '1e999 Hz' is larger than any number that can be computed with", "", ()),
    ("50 Hz", "«50 hz»", "`frequency`: '50 hz' has the unknown unit 'hz'", "", ()),
    ("TN-S", "«TNS»", "`earthing`: 'TNS' cannot stand here", "TN-S, TN-C-S, TT or IT", ("TN-S", "TN-C-S")),
    ("inlet: X0", "inlet: «X1»", "there is no part 'X1'", "a key of `parts`", ("X0",)),
    ("mains: {inlet: X0, system: single-phase", "«mains»: {inlet: X0", "`mains` has no `system`", "`system: ...`", ()),
    ("mains: {", "mains: {«fault_curent»: 1 kA, ", "'fault_curent' is not a key here", "", ("fault_current",)),
    (
        "mains: {",
        "mains: {upstream: {kind: «braker», rating: 10 A}, ",
        "`kind`: 'braker' cannot stand here",
        "breaker or fuse",
        ("breaker",),
    ),
    ("mains: {", "mains: {«upstream»: {kind: breaker}, ", "`upstream` has no `rating`", "`rating: ...`", ()),
    # site and enclosure
    (
        "enclosure:",
        "site: {ambient: «35»}\nenclosure:",
        "`ambient`: '35' needs a unit",
        "a temperature is written for example 35 °C",
        (),
    ),
    ("500 x 400 x 210 mm", "«500 x 400 mm»", "`size`: '500 x 400 mm' is not 3 lengths", "", ()),
    ("500 x 400 x 210 mm", "«500 x 400 x 210»", "`size`: '500 x 400 x 210' needs a unit", "", ()),
    ("500 x 400 x 210 mm", "«0 x 4 x 2 mm»", "`size`: '0 x 4 x 2 mm' has a length that is not above zero", "", ()),
    ("aluminium", "«aluminum»", "`material`: 'aluminum' cannot stand here", "", ("aluminium",)),
    ("IP54", "«IP5»", "`protection`: 'IP5' is no degree of protection", "", ()),
    ("material:", "ventilated: «yes», material:", "`ventilated`: 'yes' is neither true nor false", "true or false", ()),
    ("material:", "duct_fill: «0.4», material:", "`duct_fill`: '0.4' needs a unit", "", ()),
    ("material:", "«fan»: {}, material:", "`fan` has no `airflow`", "`airflow: ...`", ()),
    # states and stops
    ("M1: hold", "M1: «stand»", "`M1`: 'stand' cannot stand here", "run, hold, off, on or worked", ()),
    ("M1: hold", "«M2»: hold", "there is no part 'M2'", "a key of `parts`", ("M1",)),
    ("M1: hold", "M1: {speed: «4 V»}", "`speed`: 4 V is a voltage", "", ()),
    ("M1: hold", "M1: {«torqe»: 1 Nm}", "'torqe' is not a key here", "", ("torque",)),
    ("{M1: hold}", "«[»M1]", "`ready`: a list cannot stand here", "a mapping, such as {key: value}", ()),
    ("devices: [S1]", "devices: «[»]", "`devices` has 0 items", "at least 1 of them", ()),
    ("devices: [S1]", "devices: «S1»", "`devices`: 'S1' cannot stand here", "a list, such as [a, b]", ()),
    ("devices: [S1]", "devices: [«S11»]", "there is no part 'S11'", "a key of `parts`", ("S1",)),
    ("category: 0", "category: «3»", "`category`: '3' cannot stand here", "0, 1 or 2", ()),
    ("emergency: {devices: [S1], category: 0", "«emergency»: {devices: [S1]", "`emergency` has no `category`", "", ()),
    ("removes: [M1]", "removes: «all»", "`removes`: 'all' is not what a stop can remove", "", ()),
    ("removes: [M1]", "removes: [«K9»]", "there is no part 'K9'", "a key of `parts`", ()),
    ("removes: [M1]", "reset: «S9»", "there is no part 'S9'", "a key of `parts`", ("S1",)),
    # parts
    ("{kind: inlet}", "«{»}", "the part says neither its kind nor a library part", "", ()),
    ("{kind: inlet}", "«inlet»", "`X0`: a part is a mapping", "", ()),
    ("{kind: inlet}", "«{»kind: inlet, use: a}", "the part says both its kind and a library part", "", ()),
    ("  S1: {", "  «S 1»: {kind: lamp}\n  S1: {", "this key: 'S 1' is not a name", "", ()),
    ("  S1: {", "  S1: {kind: lamp}\n  «S1»: {", "'S1' is given twice", "every key stands once", ()),
    # wire types and routes
    ("1.5 mm2", "«1.5»", "`size`: '1.5' needs a unit", "", ()),
    ("1.5 mm2", "«1.5 AWG»", "`size`: '1.5 AWG' is no wire gauge", "", ()),
    ("colour: BK", "colour: «black»", "`colour`: 'black' is no colour code", "", ("BK",)),
    ("pvc-70", "«pvc70»", "`insulation`: 'pvc70' is no known insulation", "", ("pvc-70", "pvc-90", "pvc-105")),
    ("500 V", "«500 V DC»", "`rated`: '500 V DC' has DC behind it", "a voltage alone, for example 24 V", ()),
    ("500 V", "«-5 V»", "`rated`: '-5 V' is negative", "", ()),
    ("route: duct", "route: «ducts»", "there is no route 'ducts'", "a key of `routes`", ("duct",)),
    ("line: {", "line: {conductor_class: «3», ", "`conductor_class`: '3' cannot stand here", "1, 2, 5 or 6", ()),
    ("{kind: duct", "{kind: «pipe»", "`kind`: 'pipe' cannot stand here", "", ()),
    ("40 x 60 mm", "40 x 60 mm, apart: {«lom»: 1 m}", "there is no route 'lom'", "a key of `routes`", ()),
    ("40 x 60 mm", "40 x 60 mm, apart: {«duct»: 1 m}", "route 'duct' is apart from itself", "another route", ()),
    # wires
    ("from: X0:L", "from: «X9»:L", "there is no part 'X9'", "a key of `parts`", ("X0",)),
    ("from: X0:L", "from: «X0»", "`from`: 'X0' is no terminal", "", ()),
    ("{wire: 1, from: X0:L, ", "«{»wire: 1, ", "wire 1 has one end only", "`from` as well", ()),
    ("{wire: 1, from: X0:L, to: M1:U, ", "«{»wire: 1, ", "wire 1 has no ends", "", ()),
    ("{wire: 2, ", "«{»wire: 2, to: M1:U, ", "wire 2 says in more than one way what it joins", "", ()),
    ("type: line}", "type: «lime»}", "there is no wire type 'lime'", "a key of `wire_types`", ("line",)),
    ("wire: 2", "wire: «1»", "the id '1' stands for a wire already", "an id of its own", ()),
    ("wire: 2", "wire: «2 a»", "`wire`: '2 a' is not a name", "", ()),
    ("{wire: 2, ", "«{»", "item 2 of `wires` has no `wire`", "`wire: ...`", ()),
    ("[X0:N, S1:11, M1:V]", "«[»X0:N]", "`through`: a chain of fewer than two terminals joins nothing", "", ()),
    ("wire: 1,", "wire: «2.1»,", "the id '2.1' is that of a piece of another wire already", "", ()),
    ("{wire: 2, through: [X0:N, S1:11, M1:V]}", "«wire 2»", "item 2 of `wires`: 'wire 2' cannot stand here", "", ()),
    # cables
    ("{cable: C1, cores: 2", "«{»cable: C1, cores: 1", "cable C1 joins 2 cores and has 1", "", ()),
    ("cores: 2", "cores: «two»", "`cores`: 'two' is not a count", "", ()),
    (
        "{cable: C1",
        "«{»cable: C1, sizes: {3: 1 mm2}",
        "cable C1 gives a size for core 3, which it does not join",
        "labels of `join`",
        (),
    ),
    ("2: [X0:N, M1:V]", "«2»: [X0:N]", "`2` has too few items", "at least 2 of them", ()),
    ("2: [X0:N, M1:V]", "2: «[»X0:N, M1:V, M1:W]", "`2` has 3 items", "at most 2 of them", ()),
    ("ends: [X0:PE]", "ends: [«X7»:PE]", "there is no part 'X7'", "a key of `parts`", ("X0",)),
    ("ends: [X0:PE]", "ends: [X0:PE], method: «glue»", "`method`: 'glue' cannot stand here", "", ()),
    ("cable: C1", "cable: «2»", "the id '2' stands for a wire already", "an id of its own", ()),
    ("length: 2 m,", "length: 2 m, «length»: 3 m,", "'length' is given twice", "every key stands once", ()),
    ("length: 2 m,", "length: «2 m2»,", "`length`: 2 m2 is a cross-section", "", ()),
    # accepted and library
    ("wires:\n", "accepted: [«{»finding: a, part: M1}]\nwires:\n", "item 1 of `accepted` has no `reason`", "", ()),
    ("wires:\n", "accepted: [{finding: a, part: M1, reason: «''»}]\nwires:\n", "`reason` is empty", "", ()),
    ("wires:\n", "library: «parts»\nwires:\n", "`library`: 'parts' cannot stand here", "a list, such as [a, b]", ()),
    # YAML itself
    ("230 V", "«!»volts 230 V", "'!volts' is a tag", "a plan has no tags", ()),
    ("title: ram", "title: «*ram»", "*ram refers to nothing that is complete before it", "", ()),
    ("title: ram", 'title: «"»ram', "this quoted text never ends", "", ()),
    ("title: ram", "title: «@»ram", "this character cannot begin a value", "", ()),
    ("title: ram", "title: a«:» b", "a comma or the closing bracket is missing", "", ()),
    ("title: ram", "«<<»: ram", "'<<' does not merge anything in a plan", "", ()),
    ("title: ram", "«[»a]: ram", "a key cannot be a list or a mapping", "", ()),
    ("wires:\n", "?«\n»: ram\nwires:\n", "a key is missing here", "", ()),
    ("title: ram", "title: a«\x07»b", "character U+0007 cannot be printed", "text", ()),
    ("title: ram", "title: a«\x00»b", "character U+0000 cannot be printed", "text", ()),
    ("parts:\n", "«\t»parts:\n", "a tab stands where a value is wanted", "spaces", ()),
    ("wires:\n", "«-»--\nwires:\n", "a second document begins here", "a plan is one document", ()),
    ("format: 1", "«\ufeff»format: 1", "the file begins with a byte order mark", "", ()),
]


def found(fault: Fault) -> tuple[int, int, int]:
    assert fault.place is not None
    return fault.place.line, fault.place.column, fault.place.length


@pytest.mark.parametrize(("old", "new", "summary", "expected", "near"), CASES, ids=[case[2] for case in CASES])
def test_fault(old: str, new: str, summary: str, expected: str, near: tuple[str, ...]) -> None:
    text, [place] = spoil(old, new)
    [fault] = read_text(text).faults
    assert (found(fault), fault.summary) == (place, summary)
    assert not expected or fault.expected == expected
    assert fault.near == near


def test_the_press_is_sound() -> None:
    assert read_text(PRESS).faults == ()


def test_bracket_that_never_closes_is_named_where_it_opens() -> None:
    text = PRESS.rstrip()[:-1]
    [fault] = read_text(text).faults
    assert fault.summary == "this bracket is never closed"
    assert found(fault) == (22, 5, 1)


def test_missing_section_is_named_at_the_beginning() -> None:
    [fault] = read_text(PRESS.replace("rulebook: iec\n", "")).faults
    assert (found(fault), fault.summary) == ((1, 1, 1), "the file has no `rulebook`")


def test_second_key_names_the_first() -> None:
    text, [first, second] = spoil("length: 2 m,", "«length»: 2 m, «length»: 3 m,")
    [fault] = read_text(text).faults
    assert found(fault) == second
    assert [(other.line, other.column, other.length) for other in fault.other] == [first]


def test_faults_of_all_sections_at_once() -> None:
    text, places = spoil("mains: {inlet: X0", "mains: {inlet: «X5», «volts»: 3")
    text = (
        text.replace("IP54", "IP5").replace("{M1: hold}", "{M1: stand}").replace("to: M1:U, type: line", "type: lime")
    )
    faults = read_text(text).faults
    summaries = [fault.summary for fault in faults]
    assert summaries == [
        "there is no part 'X5'",
        "'volts' is not a key here",
        "`protection`: 'IP5' is no degree of protection",
        "`M1`: 'stand' cannot stand here",
        "wire 1 has one end only",
        "there is no wire type 'lime'",
    ]
    assert [found(fault) for fault in faults[:2]] == places
    assert [fault.place.line for fault in faults if fault.place] == [4, 4, 5, 7, 19, 19]


def test_words_are_ours() -> None:
    """No phrase of the libraries reaches the reader."""
    foreign = (
        "pydantic",
        "Input should",
        "Field required",
        "Extra inputs",
        "permitted",
        "while parsing",
        "token",
        "scalar",
    )
    for old, new, *_ in CASES:
        for fault in read_text(spoil(old, new)[0]).faults:
            assert not [word for word in foreign if word.lower() in str(fault).lower()]


def test_a_section_of_parts_that_is_missing_is_one_fault_and_not_one_a_name() -> None:
    """A slip in the word `parts` is not buried under every wire end that then leads nowhere."""
    assert {fault.summary for fault in read_text(PRESS.replace("\nparts:\n", "\npart:\n")).faults} == {
        "the file has no `parts`",
        "'part' is not a key here",
    }
