"""Rank and order from Graphviz, and the one place where its engine is chosen.

The engine is the `graphviz-pure` package, so that no system package is needed; `WIRING_DOT=system` takes the `dot` of
the system instead.
"""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from pathlib import Path

Port = tuple[int, int]


class EngineMissingError(RuntimeError):
    """No Graphviz engine can be run."""


def _packaged() -> str | None:
    from importlib.metadata import PackageNotFoundError, files

    try:
        listed = files("graphviz-pure") or []
    except PackageNotFoundError:
        return None
    names = ("graphviz-pure", "graphviz-pure.exe")
    found = (Path(str(file.locate())).resolve() for file in listed if file.name in names)
    return next((str(path) for path in found if path.is_file()), None)


@cache
def _binary(wish: str) -> str:
    found = shutil.which("dot") if wish == "system" else _packaged() or shutil.which("graphviz-pure")
    if found is None:
        what = "the program `dot` of Graphviz" if wish == "system" else "the Python package graphviz-pure"
        raise EngineMissingError(f"The drawing needs {what}, which is not installed here.")
    return found


def _run(graph: object) -> Mapping[str, tuple[float, float]]:
    from graphviz.backend import dot_command  # type: ignore[import-untyped]

    dot_command.DOT_BINARY = Path(_binary(os.environ.get("WIRING_DOT", "")))  # the library offers no public way
    answer = json.loads(graph.pipe(format="json0", encoding="utf-8", quiet=True))  # type: ignore[attr-defined]
    places = {}
    for node in answer.get("objects", ()):
        if "pos" in node:
            x, y = node["pos"].split(",")
            places[node["name"]] = (float(x), float(y))
    return places


def ranks(count: int, edges: Iterable[tuple[int, int]], level: Iterable[tuple[int, int]]) -> list[int]:
    """The column of each of `count` nodes, from 0: edges run from left to right, nodes that are `level` share one."""
    import graphviz  # type: ignore[import-untyped]

    graph = graphviz.Digraph(graph_attr={"rankdir": "LR", "splines": "none"}, node_attr={"shape": "box", "label": ""})
    for node in range(count):
        graph.node(f"n{node}")
    for a, b in edges:
        graph.edge(f"n{a}", f"n{b}")
    for a, b in level:
        with graph.subgraph() as same:
            same.attr(rank="same")
            same.node(f"n{a}")
            same.node(f"n{b}")
    places = _run(graph)
    across = [round(places[f"n{node}"][0]) for node in range(count)]
    columns = {x: column for column, x in enumerate(sorted(set(across)))}
    return [columns[x] for x in across]


def order(columns: Sequence[Sequence[int]], rows: Sequence[int], edges: Iterable[tuple[Port, Port]]) -> list[list[int]]:
    """The nodes of each column from top to bottom with few crossings.

    `rows` is the height of each node in rows, an edge joins (node, row) of one column with (node, row) of the next.
    """
    import graphviz

    graph = graphviz.Digraph(graph_attr={"rankdir": "LR", "nodesep": "0.1", "splines": "none"})
    for column, nodes in enumerate(columns):
        with graph.subgraph() as same:
            same.attr(rank="same")
            same.node(f"a{column}", shape="point")
            for node in nodes:
                label = "|".join(f"<r{row}> " for row in range(max(rows[node], 1)))
                height = str(0.2 * max(rows[node], 1))
                same.node(f"n{node}", shape="record", label=label, fixedsize="true", width="0.5", height=height)
    for column in range(len(columns) - 1):
        graph.edge(f"a{column}", f"a{column + 1}", style="invis")
    for (a, row_a), (b, row_b) in edges:
        graph.edge(f"n{a}:r{row_a}:e", f"n{b}:r{row_b}:w")
    places = _run(graph)
    return [sorted(nodes, key=lambda node: (-places[f"n{node}"][1], node)) for nodes in columns]
