"""The subjects of a design know only those before them, and nothing writes into a frozen object."""

import ast
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

from wiring.design.design import Design, in_state
from wiring.design.load import load

ROOT = Path(__file__).parents[2] / "wiring"
DESIGN = ROOT / "design"
PLAN = ROOT.parent / "specs" / "coil-winder.yaml"
SUBJECTS = list(Design.__struct_fields__)


def winder() -> Design:
    design = load(PLAN).design
    assert design is not None
    return design


def trees(folder: Path) -> dict[str, ast.Module]:
    return {
        path.relative_to(ROOT).as_posix()[: -len(".py")]: ast.parse(path.read_text("utf-8"))
        for path in sorted(folder.rglob("*.py"))
    }


def imported(tree: ast.Module) -> set[str]:
    """The files of design/ that a file imports, inside functions and for types alone too."""
    names = {node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    names |= {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
    return {name.removeprefix("wiring.design.") for name in names if name.startswith("wiring.design.")}


def test_the_files_of_the_design_import_each_other_in_no_circle() -> None:
    graph = {name.removeprefix("design/").replace("/", "."): imported(tree) for name, tree in trees(DESIGN).items()}
    order = list(TopologicalSorter(graph).static_order())  # raises CycleError with the circle
    assert order.index("machine") < order.index("operation") < order.index("enclosure.cabinet")
    assert order.index("enclosure.cabinet") < order.index("conductor.conductors")
    assert order.index("fault.faults") < order.index("transients") < order.index("design")


def test_no_subject_knows_the_whole_design() -> None:
    """Nor does anything that a subject is built with, however far off."""
    imports = {
        name.removeprefix("design/").replace("/", "."): {
            node.module.removeprefix("wiring.design.")
            for node in ast.walk(tree)
            if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("wiring.design.")
        }
        for name, tree in trees(DESIGN).items()
    }
    ahead = {type(getattr(winder(), subject)).__module__.removeprefix("wiring.design.") for subject in SUBJECTS}
    below: set[str] = set()
    while ahead:
        below |= ahead
        ahead = set[str]().union(*(imports[name] for name in ahead)) - below
    assert "machine" in below
    assert "design" not in below


@pytest.mark.parametrize("subject", SUBJECTS)
def test_a_subject_is_frozen_and_is_built_from_subjects_before_it_alone(subject: str) -> None:
    design = winder()
    record = getattr(design, subject)
    assert type(record).__struct_config__.frozen
    before = SUBJECTS[: SUBJECTS.index(subject)]
    names = list(record.__struct_fields__)
    if subject != "machine":
        assert set(names) - {"only_state"} <= set(before)
    assert all(getattr(record, name) is getattr(design, name) for name in names if name in before)


def writes_into_objects(tree: ast.Module) -> list[int]:
    """The lines that go round a frozen class: `object.__setattr__`, `setattr`, and writing to a `__dict__`."""
    found = []
    for node in ast.walk(tree):
        match node:
            case ast.Attribute(attr="__setattr__" | "__delattr__"):
                found.append(node.lineno)
            case ast.Call(func=ast.Name(id="setattr" | "delattr")):
                found.append(node.lineno)
            case ast.Subscript(value=ast.Attribute(attr="__dict__"), ctx=ast.Store() | ast.Del()):
                found.append(node.lineno)
            case ast.Attribute(value=ast.Attribute(attr="__dict__"), attr="update" | "setdefault" | "pop" | "clear"):
                found.append(node.lineno)
            case ast.Attribute(attr="__dict__", ctx=ast.Store()):
                found.append(node.lineno)
            case ast.Call(func=ast.Name(id="vars")):
                found.append(node.lineno)
    return found


#: The base of the models makes its frozen objects itself.
MAKER = "plan/model"


def test_nothing_writes_into_a_frozen_object() -> None:
    found = {name: lines for name, tree in trees(ROOT).items() if (lines := writes_into_objects(tree))}
    assert found.keys() - {MAKER} == set()


@pytest.mark.parametrize(
    "line",
    [
        "new.__dict__[name] = old",
        "self.__dict__.setdefault('judged', 1)",
        "object.__setattr__(self, 'x', 1)",
        "setattr(new, name, 1)",
        "vars(new)['x'] = 1",
    ],
)
def test_every_way_round_a_frozen_class_is_seen(line: str) -> None:
    assert writes_into_objects(ast.parse(line)) == [1]


def test_one_state_alone_is_solved_on_the_same_machine() -> None:
    design = winder()
    state = next(iter(design.states))
    alone = in_state(design, state)
    assert list(alone.states) == [state]
    assert alone.machine is design.machine
    assert alone.devices is design.devices
    assert alone.operation is not design.operation
