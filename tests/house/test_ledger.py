"""Records are written in one place, and an entry that was kept stays as it was."""

from __future__ import annotations

import ast
import re
import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.house.source import modules
from walkabout.records.database import FILE_NAME

# Peewee's words for writing, when a model (a name with a capital letter) is what they are asked of.
WRITES = {"insert", "insert_many", "insert_from", "update", "delete", "delete_instance", "delete_by_id"}
WRITES |= {"replace", "replace_many", "bulk_create", "bulk_update", "save", "create", "get_or_create"}
WRITES |= {"set_by_id", "truncate_table"}
# SQL's, at the head of a text or after a WITH.
SQL_WRITE = re.compile(
    r"^\s*(?:with\b.*\)\s*)?(insert\s+(or\s+\w+\s+)?into|update\s+\w+\s+set|delete\s+from|replace\s+into)\b",
    re.IGNORECASE | re.DOTALL,
)
SQL_ENTRY_CHANGE = re.compile(
    r"\b(update|delete\s+from|replace\s+into|or\s+replace\s+into)\s+entry\b", re.IGNORECASE
)
# They make the transaction and the tables, so they stand below it.
BELOW = {"walkabout/records/ledger.py", "walkabout/records/schema.py"}


def _model_writes(tree: ast.AST) -> Iterator[str]:
    """Calls such as ``models.Plant.update`` and ``Plant.create``."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in WRITES:
            owner = node.func.value
            name = owner.attr if isinstance(owner, ast.Attribute) else getattr(owner, "id", "")
            if name[:1].isupper() or name in ("table", "session", "link", "standing", "member", "spot"):
                yield f"line {node.lineno}: {name}.{node.func.attr}"


def _sql(tree: ast.AST, words: re.Pattern[str]) -> Iterator[str]:
    """Texts in the code that are SQL of the kind looked for."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and words.search(node.value):
            yield f"line {node.lineno}: {node.value[:60]!r}"


def test_only_records_write() -> None:
    strays = [
        f"{path} {write}"
        for path, tree in modules()
        if not path.startswith("walkabout/records/")
        for write in (*_model_writes(tree), *_sql(tree, SQL_WRITE))
    ]
    assert strays == []


def test_every_write_stands_in_a_numbered_transaction() -> None:
    """A function that writes opens ``writing()`` itself, or is handed the ledger by one that did."""
    strays = [
        f"{path} {function.name}"
        for path, tree in modules()
        if path.startswith("walkabout/records/") and path not in BELOW and "/steps/" not in path
        for function in ast.walk(tree)
        if isinstance(function, ast.FunctionDef)
        and (list(_model_writes(function)) or list(_sql(function, SQL_WRITE)))
        and not re.search(r"\bwriting\(\)|\bledger\b", ast.unparse(function))
    ]
    assert strays == []


def test_no_code_changes_or_deletes_an_entry() -> None:
    strays = [
        f"{path} {write}"
        for path, tree in modules()
        for write in (
            *(w for w in _model_writes(tree) if re.search(r"\bEntry\.(?!insert)", w)),
            *_sql(tree, SQL_ENTRY_CHANGE),
        )
    ]
    assert strays == []


def test_the_search_for_writes_finds_what_it_should() -> None:
    planted = ast.parse(
        "Entry.update(a=1)\nmodels.Entry.delete()\nx = 'DELETE FROM entry WHERE id = ?'\nd.update(b)\n"
        "s.execute('SELECT 1')\ny = 'INSERT OR IGNORE INTO plant VALUES (1)'"
    )
    assert len(list(_model_writes(planted))) == 2
    assert len(list(_sql(planted, SQL_WRITE))) == 2
    assert len(list(_sql(planted, SQL_ENTRY_CHANGE))) == 1


@pytest.mark.parametrize("statement", ["UPDATE entry SET seen_on = '2020-01-01'", "DELETE FROM entry"])
def test_the_database_itself_refuses_to_change_an_entry(statement: str, kept_entry: str, yard: Path) -> None:
    connection = sqlite3.connect(yard / FILE_NAME)
    try:
        with pytest.raises(sqlite3.IntegrityError, match="an entry is never"):
            connection.execute(statement)
        assert connection.execute("SELECT id FROM entry").fetchall() == [(kept_entry,)]
    finally:
        connection.close()
