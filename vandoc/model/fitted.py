"""What the workshop notes of each item that it fits: its designation, and what it bought."""

from typing import Annotated

from pydantic import StringConstraints

from vandoc.model.base import Described, Line, StrictModel

Designation = Annotated[
    str, StringConstraints(pattern=r"^[A-HJ-NP-Z]{1,3}[1-9][0-9]{0,3}$"), Described("designation")
]
"""Reference designation without the sign of its aspect: letters of its class (no I or O), then a number."""
Price = Annotated[str, StringConstraints(pattern=r"^[0-9]{1,7}(\.[0-9]{1,2})? [A-Z]{3}$"), Described("price")]
"""Price of one, with the currency's code of ISO 4217."""


class Bought(StrictModel):
    """What the workshop bought; for its own lists, never for the manual."""

    maker: Line | None = None
    type: Line | None = None
    serial: Line | None = None
    batch: Line | None = None
    price: Price | None = None


class Designated(Bought):
    """An item with a designation of its own, which is given once and kept."""

    designation: Designation | None = None


OF_WORKSHOP = frozenset(Bought.model_fields)
"""Attributes, and keys of the van file, that are never published."""
