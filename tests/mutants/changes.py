"""Every small change of a module, of the kinds that slips of the hand are made of."""

from __future__ import annotations

import ast
import copy
from collections.abc import Iterator
from typing import Final, NamedTuple

OTHER: Final[dict[type[ast.AST], type[ast.AST]]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.And: ast.Or,
    ast.Or: ast.And,
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.FloorDiv,
    ast.FloorDiv: ast.Mult,
    ast.BitAnd: ast.BitOr,
    ast.BitOr: ast.BitAnd,
}
CALLS: Final = {"any": "all", "all": "any", "min": "max", "max": "min"}
STATEMENTS: Final = (ast.Expr, ast.AugAssign, ast.Continue, ast.Break)


class Change(NamedTuple):
    """One change: its lines, the class and function it is in, by dots, its first line, what
    changes in it, and the whole text after it.
    """

    first: int
    last: int
    within: str
    line: str
    what: str
    text: str


def changes(text: str) -> Iterator[Change]:
    """All of them, in the order of the text."""
    for node, within in _nodes(ast.parse(text), ""):
        for instead in _instead(node):
            yield _change(text, node, within, instead)
        if isinstance(node, ast.If):
            for instead in ("True", "False"):
                yield _change(text, node.test, within, instead)


def _nodes(node: ast.AST, within: str) -> Iterator[tuple[ast.AST, str]]:
    """Each node with the outermost function it is in; no types, no texts with values.

    Nor `strict=True`: it says what is so already, that two rows are of one length.
    """
    if isinstance(node, ast.FunctionDef | ast.ClassDef):
        within = f"{within}.{node.name}".lstrip(".")
    inner = isinstance(node, ast.FunctionDef)
    for field, value in ast.iter_fields(node):
        if field in ("annotation", "returns", "decorator_list"):
            continue
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.AST) and not _left_alone(child):
                yield child, within
                yield from _inside(child, within) if inner else _nodes(child, within)


def _left_alone(node: ast.AST) -> bool:
    """Whether it is a text with values, or `strict=True`."""
    strict = isinstance(node, ast.keyword) and ast.unparse(node) == "strict=True"
    return strict or isinstance(node, ast.JoinedStr)


def _inside(node: ast.AST, within: str) -> Iterator[tuple[ast.AST, str]]:
    """The same, of what is in a function, whatever functions are in that."""
    for child, _ in _nodes(node, ""):
        yield child, within


def _instead(node: ast.AST) -> Iterator[str]:
    """What may stand in the place of a node."""
    if isinstance(node, STATEMENTS):
        yield from _dropped(node)
    elif isinstance(node, ast.Constant):
        yield from _numbers(node.value)
    elif isinstance(node, ast.IfExp):
        yield from (ast.unparse(node.body), ast.unparse(node.orelse))
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield ast.unparse(node.operand)
    elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        if node.func.id in CALLS:
            yield _with(node, func=ast.Name(CALLS[node.func.id]))
    elif isinstance(node, ast.Compare):
        for at, op in enumerate(node.ops):
            yield _with(node, ops=[*node.ops[:at], OTHER[type(op)](), *node.ops[at + 1 :]])
    elif isinstance(node, ast.BoolOp):
        yield _with(node, op=OTHER[type(node.op)]())
        for one in node.values:
            yield _with(node, values=[value for value in node.values if value is not one])
    elif isinstance(node, ast.BinOp) and type(node.op) in OTHER and not _of_types(node):
        yield _with(node, op=OTHER[type(node.op)]())
    elif isinstance(node, ast.GeneratorExp | ast.ListComp | ast.SetComp | ast.DictComp):
        yield from _unconditional(node)


def _of_types(node: ast.BinOp) -> bool:
    """Whether it says which types something may have."""
    return any(
        isinstance(one, ast.Name) and one.id[0].isupper() for one in (node.left, node.right)
    )


def _dropped(node: ast.stmt) -> Iterator[str]:
    """Nothing in the place of a statement; what yields still does, nothing."""
    value = getattr(node, "value", None)
    if isinstance(value, ast.Yield | ast.YieldFrom):
        yield "yield from ()"
    elif not isinstance(value, ast.Constant) or isinstance(node, ast.AugAssign):
        yield "pass"


def _numbers(value: object) -> Iterator[str]:
    if isinstance(value, bool):
        yield str(not value)
    elif isinstance(value, int):
        yield from (str(value + 1), str(value - 1))


def _unconditional(
    node: ast.GeneratorExp | ast.ListComp | ast.SetComp | ast.DictComp,
) -> Iterator[str]:
    """Without one of its conditions."""
    for at, part in enumerate(node.generators):
        for one in part.ifs:
            ifs = [other for other in part.ifs if other is not one]
            kept = _copied(part, ifs=ifs)
            yield _with(
                node, generators=[*node.generators[:at], kept, *node.generators[at + 1 :]]
            )


def _copied(node: ast.AST, **fields: object) -> ast.AST:
    other = copy.copy(node)
    for name, value in fields.items():
        setattr(other, name, value)
    return other


def _with(node: ast.AST, **fields: object) -> str:
    """Its text with other fields."""
    return ast.unparse(ast.fix_missing_locations(_copied(node, **fields)))


def _change(text: str, node: ast.AST, within: str, instead: str) -> Change:
    assert isinstance(node, ast.expr | ast.stmt)
    assert node.end_lineno
    assert node.end_col_offset
    lines = text.encode().splitlines(keepends=True)
    start = sum(map(len, lines[: node.lineno - 1])) + node.col_offset
    end = sum(map(len, lines[: node.end_lineno - 1])) + node.end_col_offset
    if isinstance(node, ast.expr) and not isinstance(node, ast.Constant | ast.GeneratorExp):
        instead = f"({instead})"
    data = text.encode()
    after = (data[:start] + instead.encode() + data[end:]).decode()
    old = " ".join(ast.unparse(node).split())
    line = lines[node.lineno - 1].decode().strip()
    return Change(node.lineno, node.end_lineno, within, line, f"{old} -> {instead}", after)
