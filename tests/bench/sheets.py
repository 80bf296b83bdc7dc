"""500 tags to PDF against the 500 symbols' matrices alone, made by the library that makes them."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

import qrcode
from qrcode.constants import ERROR_CORRECT_H

from tests.bench.measure import Figure, by_turns
from walkabout.tags.codes import make_code
from walkabout.tags.labels import Label, draw
from walkabout.tags.sheets import sheet, sheet_names
from walkabout.tags.symbols import address_for

TAGS = 500
ORIGIN = "https://orchard.example"


def measured(_folder: Path, *, scale: float, full: bool) -> Iterator[Figure]:
    """Yield the figures; `scale` below 1 makes the work smaller."""
    count = max(1, round(TAGS * scale))
    codes = [make_code() for _ in range(count)]
    addresses = [address_for(ORIGIN, code) for code in codes]
    labels = [
        Label(code, address, f"Row {number % 20 + 1} tree {number}", "Brown Turkey")
        for number, (code, address) in enumerate(zip(codes, addresses, strict=True))
    ]
    stock = sheet(sheet_names()[0])

    def matrices() -> None:
        for address in addresses:
            symbol = qrcode.QRCode(version=3, error_correction=ERROR_CORRECT_H, border=0)
            symbol.add_data(address)
            symbol.make(fit=False)

    pdf, alone = by_turns(lambda: draw(labels, stock, io.BytesIO()), matrices, turns=3 if full else 1)
    yield Figure(f"{count} tags to PDF", pdf, "s")
    yield Figure(f"{count} matrices alone (version 3, level H)", alone, "s")
    yield Figure("tags to PDF against matrices alone", pdf / alone, "x", goal=2)
