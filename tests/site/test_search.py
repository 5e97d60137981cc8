"""The search answers what people type, in every demonstration van: the page that must come first does."""

from functools import partial
from pathlib import Path
from typing import Any

import pytest
import yaml

QUESTIONS = yaml.safe_load((Path(__file__).parent / "questions.yml").read_text("utf-8"))
VANS = ["curlew", "heron", "wren"]


def found(phone: Any, question: str) -> list[str]:
    """The addresses that a question brings up, in order, below the manual."""
    phone.fill(".search input", "")
    phone.wait_for_function("() => !document.querySelector('.search li')")
    phone.fill(".search input", question)
    phone.wait_for_function("() => document.querySelector('.search li, .search .count:not(:empty)')")
    home = phone.evaluate("new URL('.', document.baseURI).href")
    hrefs = phone.eval_on_selector_all(".search li a", "all => all.map(one => one.href)")
    return [href.removeprefix(home) for href in hrefs]


def has(home: Path, address: str) -> str | None:
    """The page of an address, where the van has that part of it."""
    page, _, part = address.partition("#")
    file = home / page
    return page if file.exists() and (not part or f'id="{part}"' in file.read_text("utf-8")) else None


def opened(phone: Any, home: Path) -> None:
    phone.goto((home / "index.html").as_uri())
    phone.click("#find")


def test_more_than_a_hundred_everyday_questions_are_kept() -> None:
    asked = [question for one in QUESTIONS for question in one["asked"]]
    assert len(set(asked)) == len(asked) >= 108


@pytest.mark.parametrize("van", VANS)
def test_the_page_that_answers_comes_first(manuals: Path, phone: Any, van: str) -> None:
    home = manuals / van
    opened(phone, home)
    wrong, tried = [], 0
    for one in QUESTIONS:
        wanted = next((page for page in map(partial(has, home), one["pages"]) if page), None)
        for question in one["asked"] if wanted else ():
            tried += 1
            first = [address.partition("#")[0] for address in found(phone, question)[:3]]
            if first[:1] != [wanted]:
                wrong.append(f"{question!r}: {first}, not {wanted}")
    assert not wrong, "\n" + "\n".join(wrong)
    assert tried >= 90


@pytest.mark.parametrize("van", VANS)
def test_owners_pages_come_before_the_electricians(manuals: Path, phone: Any, van: str) -> None:
    opened(phone, manuals / van)
    mixed = 0
    for question in ("battery", "solar", "fuse", "pump", "switch", "charger"):
        deep = [address.startswith("electrician/") for address in found(phone, question)]
        assert deep == sorted(deep), question
        mixed += not deep[0]
    assert mixed == 6


def test_a_slip_is_forgiven_in_a_long_word_only(manuals: Path, phone: Any) -> None:
    opened(phone, manuals / "curlew")
    assert found(phone, "heatign")[0] == "fault/stopped-heater.html"
    assert found(phone, "fqn") == []
