"""Small changes to a module, each of which a test ought to notice.

A change is made in the syntax tree: another comparison, another sign, a dropped
``abs``, ``not`` or guard, a number moved. Text, annotations, decorators and the
values of a refusal are left alone, as they change no number; so are the ``strict``
of a `zip`, which guards what is of one length already, the free length of a
`reshape`, which any negative number says, the numbers of an enumeration, which only
name, the coordinate that lends `alike` the shape of its points, and an added nought,
which only takes a minus from another. A tolerance is moved by a factor of a million:
any close to it would do as well, and nothing computed stands on its boundary.
"""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Callable, Container, Iterator
from copy import deepcopy
from dataclasses import dataclass
from functools import partial

BOUNDARY = {ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt}
OPPOSITE = {
    ast.Lt: ast.GtE,
    ast.LtE: ast.Gt,
    ast.Gt: ast.LtE,
    ast.GtE: ast.Lt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
}
OPERATION = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.Pow: ast.Mult,
    ast.BitAnd: ast.BitOr,
    ast.BitOr: ast.BitAnd,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
}
OTHER_CALL = {
    "min": "max",
    "max": "min",
    "minimum": "maximum",
    "maximum": "minimum",
    "argmin": "argmax",
    "argmax": "argmin",
    "any": "all",
    "all": "any",
    "floor": "ceil",
    "ceil": "floor",
    "sin": "cos",
    "cos": "sin",
}
TOLERANCE = 1e-4  # a number below it is one, as all are in SI units
DROPPED_CALL = {"abs", "sqrt", "sorted", "round"}
NO_LINE = (1, 0)  # nothing is changed: all tests of the part look


@dataclass(frozen=True)
class Mutant:
    """One change: where it is, what it says, and what makes the module with it."""

    module: str
    function: str
    change: str
    lines: tuple[int, int]
    make: Callable[[], str]

    @property
    def name(self) -> str:
        """What the change is called in reports and in ``equivalent.toml``."""
        return f"{self.module}::{self.function}: {self.change}"


def mutants_of(module: str, source: str) -> Iterator[Mutant]:
    """Return every change to a module, in the order of its text."""
    tree = ast.parse(source)
    times: Counter[str] = Counter()
    tolerances = _tolerances(tree)
    for path, function in _places(tree):
        for new in _changes(_at(tree, path)):
            old = _at(tree, path)
            if _moves_edge(old, new) and _with_tolerance(old, tolerances):
                continue
            change = f"{_shown(old)} -> {_shown(new)}"
            key = f"{function}: {change}"
            times[key] += 1
            if times[key] > 1:
                change += f" #{times[key]}"
            yield Mutant(
                module,
                function,
                change,
                (old.lineno, old.end_lineno or old.lineno),
                partial(_with, tree, path, new),
            )


def _tolerances(tree: ast.Module) -> set[str]:
    """Return the names that stand for a tolerance in a module."""
    names = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Assign) and _with_tolerance(node.value):
            names |= {target.id for target in node.targets if _name_of(target)}
        if isinstance(node, ast.arguments):
            options = zip(node.kwonlyargs, node.kw_defaults, strict=True)
            names |= {one.arg for one, value in options if _is_tolerance(value)}
    return names


def _with_tolerance(node: ast.AST, names: Container[str] = ()) -> bool:
    """Whether a tolerance stands in a node, as a number or by its name."""
    parts = ast.walk(node)
    return any(_is_tolerance(part) or _name_of(part) in names for part in parts)


def _is_tolerance(node: ast.AST | None) -> bool:
    match node:
        case ast.Constant(float(value)):
            return 0 < value < TOLERANCE
    return False


def _shown(node: ast.AST) -> str:
    return " ".join(ast.unparse(node).split())


Path = tuple[tuple[str, int | None], ...]


def _at(tree: ast.AST, path: Path) -> ast.AST:
    for field, index in path:
        value = getattr(tree, field)
        tree = value if index is None else value[index]
    return tree


def _with(tree: ast.AST, path: Path, new: ast.AST) -> str:
    changed = deepcopy(tree)
    parent, (field, index) = _at(changed, path[:-1]), path[-1]
    if index is None:
        setattr(parent, field, new)
    else:
        getattr(parent, field)[index] = new
    return ast.unparse(ast.fix_missing_locations(changed))


LEFT_ALONE = {"annotation", "returns", "decorator_list", "type_params", "bases"}


def _places(
    node: ast.AST, path: Path = (), function: str = "module"
) -> Iterator[tuple[Path, str]]:
    """Return the way to each node that may be changed, and what it stands in."""
    for field, value in ast.iter_fields(node):
        if field in LEFT_ALONE:
            continue
        for index, child in enumerate(value if isinstance(value, list) else [value]):
            if not isinstance(child, ast.AST) or _no_number(child):
                continue
            if _only_says(node, child):
                continue
            here = (*path, (field, index if isinstance(value, list) else None))
            inside = function
            if isinstance(child, ast.FunctionDef | ast.ClassDef):
                inside = child.name if not path else f"{function}.{child.name}"
                inside = inside.removeprefix("module.")
            else:
                yield here, function
            yield from _places(child, here, inside)


def _no_number(node: ast.AST) -> bool:
    """Whether a change in it would change no number: imports, texts, refusals."""
    if isinstance(node, ast.Raise | ast.Import | ast.ImportFrom | ast.JoinedStr):
        return True
    if isinstance(node, ast.keyword):
        return node.arg == "strict"
    if isinstance(node, ast.If):
        return ast.unparse(node.test) == "TYPE_CHECKING"
    if isinstance(node, ast.Expr):  # docstrings
        return isinstance(node.value, ast.Constant)
    if isinstance(node, ast.Assign):
        return any(ast.unparse(t) in {"__all__", "Name"} for t in node.targets)
    return False


def _only_says(parent: ast.AST, node: ast.AST) -> bool:
    """Whether a number there is a sign for something, and its size is nothing."""
    match parent:
        case ast.Call(func=ast.Attribute(attr="reshape")):
            return isinstance(node, ast.UnaryOp)
        case ast.ClassDef(bases=[ast.Name("IntEnum" | "Enum")]):
            return isinstance(node, ast.Assign)
        case ast.Call(func=ast.Name("alike")):
            return isinstance(node, ast.keyword)
    return False


def _changes(node: ast.AST) -> Iterator[ast.AST]:
    """Return what may stand in the place of a node."""
    for kind, changed in CHANGED.items():
        if isinstance(node, kind):
            yield from changed(node)


def _compared(node: ast.Compare) -> Iterator[ast.AST]:
    for table in (BOUNDARY, OPPOSITE):
        for i, op in enumerate(node.ops):
            if type(op) in table:
                new = deepcopy(node)
                new.ops[i] = table[type(op)]()
                yield new


def _moves_edge(old: ast.AST, new: ast.AST) -> bool:
    """Whether all that changes is on which side the boundary itself is."""
    if not (isinstance(old, ast.Compare) and isinstance(new, ast.Compare)):
        return False
    pairs = zip(old.ops, new.ops, strict=True)
    return any(BOUNDARY.get(type(was)) is type(now) for was, now in pairs)


def _computed(node: ast.BinOp) -> Iterator[ast.AST]:
    if type(node.op) in OPERATION and not (_of_types(node) or _adds_nought(node)):
        yield ast.BinOp(node.left, OPERATION[type(node.op)](), node.right)


def _adds_nought(node: ast.BinOp) -> bool:
    """Whether nought is added, which makes a plain nought of minus nought."""
    match node:
        case ast.BinOp(op=ast.Add(), right=ast.Constant(float(value))):
            return value == 0
    return False


def _joined(node: ast.BoolOp) -> Iterator[ast.AST]:
    other = ast.Or() if isinstance(node.op, ast.And) else ast.And()
    yield ast.BoolOp(other, node.values)


def _signed(node: ast.UnaryOp) -> Iterator[ast.AST]:
    yield node.operand


def _moved(node: ast.Constant) -> Iterator[ast.AST]:
    match node.value:
        case bool(value):
            yield ast.Constant(not value)
        case int(value):
            yield ast.Constant(value + 1)
        case float(value) if _is_tolerance(node):
            yield ast.Constant(value * 1e6)
        case float(value):
            yield ast.Constant(value * 1.5 if value else 1.0)


def _called(node: ast.Call) -> Iterator[ast.AST]:
    func = node.func
    name = func.attr if isinstance(func, ast.Attribute) else _name_of(func)
    if name in DROPPED_CALL and node.args:
        yield node.args[0]
    if name in OTHER_CALL:
        new = deepcopy(node)
        if isinstance(new.func, ast.Attribute):
            new.func.attr = OTHER_CALL[name]
        else:
            new.func = ast.Name(OTHER_CALL[name], ast.Load())
        yield new


def _left_out(node: ast.stmt) -> Iterator[ast.AST]:
    if not isinstance(node, ast.Expr) or isinstance(node.value, ast.Call):
        yield ast.Pass()


def _swapped(node: ast.IfExp) -> Iterator[ast.AST]:
    yield ast.IfExp(node.test, node.orelse, node.body)


def _unguarded(node: ast.If) -> Iterator[ast.AST]:
    if not node.orelse:
        yield ast.If(ast.Constant(False), node.body, [])


CHANGED = {
    ast.Compare: _compared,
    ast.BinOp: _computed,
    ast.BoolOp: _joined,
    ast.UnaryOp: _signed,
    ast.Constant: _moved,
    ast.Call: _called,
    ast.Expr | ast.AugAssign | ast.Continue: _left_out,
    ast.IfExp: _swapped,
    ast.If: _unguarded,
}


def _name_of(node: ast.AST) -> str:
    """Return a bare name, or nothing."""
    return node.id if isinstance(node, ast.Name) else ""


def _of_types(node: ast.BinOp) -> bool:
    """Whether a bar joins types, as in ``isinstance(x, str | int)``."""
    if not isinstance(node.op, ast.BitOr):
        return False
    names = {part.id for part in ast.walk(node) if isinstance(part, ast.Name)}
    return bool(
        names & {"str", "int", "float", "None", "dict", "list", "WorkbookError"}
    )
