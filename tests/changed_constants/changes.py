"""Every number, comparison, truth value and sign of a module, each with one way to change it.

A change that no test can tell from the original is called equivalent, listed with its reason and not counted:

- *text*: it stands in an f-string or in what `join` or a `listed…` puts together;
- *tolerance*: a number of at most 1e-6 that is no factor of a unit, or the sixth digit or more of a `round`;
- *declaration*: it is an argument of a decorator, `strict=` of `zip`, or the size of a cache.

A comparison with a figure that a tolerance widens is turned round: whether it takes in its very end means nothing.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from random import Random

_COMPARISONS: dict[type[ast.cmpop], tuple[str, tuple[str, ...]]] = {
    ast.Lt: ("<", ("<=", ">=")),
    ast.LtE: ("<=", ("<", ">")),
    ast.Gt: (">", (">=", "<=")),
    ast.GtE: (">=", (">", "<")),
    ast.Eq: ("==", ("!=",)),
    ast.NotEq: ("!=", ("==",)),
    ast.In: ("in", ("not in",)),
    ast.NotIn: ("not in", ("in",)),
    ast.Is: ("is", ("is not",)),
    ast.IsNot: ("is not", ("is",)),
}
_SIGNS: dict[type[ast.operator], tuple[str, str]] = {ast.Add: ("+", "-"), ast.Sub: ("-", "+")}
_TOLERANCE = 1e-6
_DIGITS = 6
#: Above this a whole number grows by a quarter, up to it by one.
_SMALL = 10
_WORDS = (ast.JoinedStr, ast.List, ast.Tuple)


@dataclass(frozen=True)
class Change:
    """One change of one file: the bytes `start` to `end` become `new`. `equivalent` is the reason not to count it."""

    path: Path
    line: int
    start: int
    end: int
    old: str
    new: str
    equivalent: str = ""

    def applied(self, source: bytes) -> bytes:
        """The source of the file with this change."""
        return source[: self.start] + self.new.encode() + source[self.end :]

    def __str__(self) -> str:
        return f"{self.path}:{self.line}: {self.old} -> {self.new}"


class _Reader:
    """The places of one module, with the byte at which each begins."""

    def __init__(self, path: Path, source: bytes, random: Random) -> None:
        self.path, self.source, self.random = path, source, random
        self.tree = ast.parse(source)
        self.above = {child: node for node in ast.walk(self.tree) for child in ast.iter_child_nodes(node)}
        self.lines = [0]
        for line in source.splitlines(keepends=True):
            self.lines.append(self.lines[-1] + len(line))

    def changes(self) -> Iterator[Change]:
        for node in ast.walk(self.tree):
            if isinstance(node, ast.Constant) and type(node.value) in (int, float, bool):
                yield self._change(node, self._start(node), self._end(node), _other(node.value))
            elif isinstance(node, ast.Compare):
                yield from self._comparisons(node)
            elif isinstance(node, ast.BinOp) and type(node.op) in _SIGNS and not _is_text(node):
                old, new = _SIGNS[type(node.op)]
                yield self._between(node, node.left, node.right, old, new)
            elif isinstance(node, ast.AugAssign) and type(node.op) in _SIGNS and not isinstance(node.value, _WORDS):
                old, new = _SIGNS[type(node.op)]
                yield self._between(node, node.target, node.value, old, new)
            elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
                yield self._change(node, self._start(node), self._start(node) + 1, "")

    def _comparisons(self, node: ast.Compare) -> Iterator[Change]:
        before = node.left
        for operator, after in zip(node.ops, node.comparators, strict=True):
            old, others = _COMPARISONS[type(operator)]
            widened = any(_is_tolerance(one) for side in (before, after) for one in ast.walk(side))
            yield self._between(node, before, after, old, others[-1] if widened else self.random.choice(others))
            before = after

    def _between(self, node: ast.AST, before: ast.expr, after: ast.expr, old: str, new: str) -> Change:
        """The change of an operator that stands between two expressions."""
        if self._equivalent(node) == "text":  # positions in an f-string are not to be relied on
            return self._change(node, 0, 0, new)
        left, right = self._end(before), self._start(after)
        start = left + self.source[left:right].index(old.encode())
        return self._change(node, start, start + len(old), new)

    def _change(self, node: ast.AST, start: int, end: int, new: str) -> Change:
        old = self.source[start:end].decode()
        return Change(self.path, getattr(node, "lineno", 0), start, end, old, new, self._equivalent(node))

    def _start(self, node: ast.expr) -> int:
        return self.lines[node.lineno - 1] + node.col_offset

    def _end(self, node: ast.expr) -> int:
        return self.lines[(node.end_lineno or node.lineno) - 1] + (node.end_col_offset or 0)

    def _equivalent(self, node: ast.AST) -> str:
        if _is_tolerance(node) and not self._is_factor(node):
            return "tolerance"
        way: list[ast.AST] = [node]
        while way[-1] in self.above:
            way.append(self.above[way[-1]])
        for inner, outer in pairwise(way):
            if isinstance(outer, ast.JoinedStr) or (isinstance(outer, ast.Call) and _prints(outer)):
                return "text"
            if isinstance(outer, ast.Call) and _called(outer) == "round" and inner in outer.args[1:]:
                return "tolerance" if isinstance(inner, ast.Constant) and inner.value >= _DIGITS else ""
            if inner in getattr(outer, "decorator_list", ()):
                return "declaration"
            if isinstance(outer, ast.keyword) and outer.arg in ("strict", "maxsize"):
                return "declaration"
        return ""

    def _is_factor(self, node: ast.AST) -> bool:
        """Whether a number is multiplied with something that is no number: a factor of its unit."""
        product = self.above.get(node)
        return (
            isinstance(product, ast.BinOp)
            and isinstance(product.op, ast.Mult | ast.Div)
            and isinstance(node, ast.Constant)
            and node.value == _TOLERANCE
        )


def _called(call: ast.Call) -> str:
    return call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")


def _prints(call: ast.Call) -> bool:
    return _called(call) == "join" or _called(call).startswith("listed")


def _is_tolerance(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and type(node.value) is float and 0.0 < node.value <= _TOLERANCE


def _is_text(node: ast.BinOp) -> bool:
    """Whether a plus puts texts, lists or tuples together."""
    sides = (node.left, node.right)
    return any(isinstance(s, _WORDS) or (isinstance(s, ast.Constant) and isinstance(s.value, str)) for s in sides)


def _other(value: float) -> str:
    """Another number: one more, a quarter more; the other truth value."""
    if isinstance(value, bool):
        return repr(not value)
    if isinstance(value, int):
        return repr(value + 1 if value <= _SMALL else round(value * 1.25))
    return repr(value * 1.25 if value else 1.0)


def changes_of(root: Path, folders: tuple[str, ...], seed: int) -> list[Change]:
    """Every change of every module in these folders of a tree, in the order that the seed draws."""
    random = Random(seed)
    found: list[Change] = []
    for path in sorted(path for folder in folders for path in (root / folder).rglob("*.py")):
        found += sorted(
            _Reader(path.relative_to(root), path.read_bytes(), random).changes(), key=lambda c: (c.line, c.start, c.new)
        )
    random.shuffle(found)
    return found
