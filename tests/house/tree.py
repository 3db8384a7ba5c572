"""The source tree as the house tests see it."""

import ast
from pathlib import Path

ROOT = Path(__file__).parents[2]
SRC = ROOT / "src" / "truebed"

#: The rooms from the ground up; a room imports only from lower ones (docs/decisions/0001-layout.md).
RANKS = {
    "units": 0, "errors": 0, "sources": 0, "compiled": 0, "findings": 1, "why": 1, "rules": 2, "given": 3, "chamber": 3,
    "sheets": 3, "records": 3, "levels": 4, "curing": 4, "diagnosis": 5, "mixing": 5, "care": 6, "programme": 7,
    "plan": 8, "drawings": 9, "demo": 9, "papers": 10, "store": 11, "actions": 12, "cli": 13,
}  # fmt: skip
PURE = [room for room, rank in RANKS.items() if rank <= RANKS["plan"]]


def sources() -> list[Path]:
    return sorted(p for p in SRC.rglob("*.py"))


def room_of(path: Path) -> str:
    first = path.relative_to(SRC).parts[0]
    return first.removesuffix(".py")


def parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text("utf-8"))


def functions(module: ast.Module) -> list[ast.FunctionDef | ast.AsyncFunctionDef]:
    return [n for n in ast.walk(module) if isinstance(n, ast.FunctionDef | ast.AsyncFunctionDef)]


def public_functions(module: ast.Module) -> list[ast.FunctionDef]:
    return [n for n in module.body if isinstance(n, ast.FunctionDef) and not n.name.startswith("_")]


def body_lines(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    body = function.body
    if (
        isinstance(body[0], ast.Expr)
        and isinstance(body[0].value, ast.Constant)
        and isinstance(body[0].value.value, str)
    ):
        body = body[1:]
    return (body[-1].end_lineno - body[0].lineno + 1) if body else 0
