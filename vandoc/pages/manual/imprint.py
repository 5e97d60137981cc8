"""Who answers for a manual: the workshop to call, the day of its last entry, and whose words it speaks."""

import re
from dataclasses import dataclass
from datetime import date

from vandoc.ground.messages import spoken
from vandoc.ground.speech import speech
from vandoc.model.system import System
from vandoc.pages.manual.text import clean, say


@dataclass(frozen=True)
class Contact:
    """The contact details that the manual prints for help."""

    name: str
    phone: str | None
    phone_href: str | None
    email: str | None
    web: str | None
    hours: str | None


def contact_of(system: System) -> Contact:
    """Return the contact details that the van file states for help."""
    shop = system.workshop
    return Contact(clean(shop.name), shop.phone, phone_href(shop.phone), shop.email, shop.web, shop.hours)


def phone_href(phone: str | None) -> str | None:
    """Return the ``tel:`` address of a telephone number, or None if it has no digits.

    Examples
    --------
    >>> phone_href("+44 1632 960 123")
    'tel:+441632960123'
    """
    digits = re.sub(r"[^0-9]", "", phone or "")
    return f"tel:{'+' if (phone or '').strip().startswith('+') else ''}{digits}" if digits else None


def last_day(system: System) -> date | None:
    """Return the latest date of construction, commissioning or service in the van file, or None."""
    days = [service.date for service in system.services] + [done.date for done in system.commissioning]
    days += [system.van.built] if system.van.built else []
    return max(days, default=None)


def spoken_note() -> str | None:
    """Return which package the words come from, if they are not vandoc's own."""
    words = spoken()
    if words is None:
        return None
    kind = "partly" if words.missing else "whole"
    return say(f"spoken.{kind}", language=speech().name, package=words.package)
