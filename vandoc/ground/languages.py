"""Languages that packages of others add: read from their entry points, and held against English.

A package names a folder in the group ``vandoc.languages``; the entry point is called like the language, by
its ISO 639-1 code. The folder holds words at the places of :func:`catalogues`. English is never replaced: it
fills what the folder leaves out. No wording may lose what an English one tells.
"""

import re
from collections import Counter
from collections.abc import Collection, Iterator
from functools import cache
from string import Formatter
from typing import Any

from vandoc.ground.extensions import Extension, blamed, extensions
from vandoc.ground.messages import (
    LANGUAGE,
    PLURALS,
    ModuleMessages,
    Translation,
    catalogues,
    content_of,
    is_plural,
    speaking,
)
from vandoc.ground.speech import Speech

CAUTIONS = "pages/manual/cautions.yml"
PARTS = ("hazard", "consequence", "avoid")
"""Of a caution: a language has all of them or none."""
SIGNALS = ("pages/manual/words.yml", "signal_word")
"""Where the signal words are, which cautions need."""
NO_WORDS = {"key", "keys", "lines", "quiet", "signal", "source", "unit", "when", "widths"}
"""Keys whose values are names, figures and sources: no language changes them."""
MOST_TOLD = 20
say = ModuleMessages(__file__).say
_TAG = re.compile(r"</?[a-zA-Z][^<>]*>|\]\([^)]*\)")
_FIGURE = re.compile(r"\d+(?:[.,]\d+)*")
_SENTENCE = re.compile(r"[.!?。।؟]+(?=\s|$)")


def translation(language: str) -> Translation | None:
    """Return the words of a language; None for English, and if no package adds it.

    Raises
    ------
    ExtensionError
        If two packages add it, or the words of one cannot be used.
    """
    if language == LANGUAGE:
        return None
    found = [one for one in extensions("languages") if one.name == language]
    if len(found) > 1:
        with blamed(found[1].package):
            raise ValueError(say("taken", language=language, other=found[0].package))
    return _read(found[0]) if found else None


@cache
def _read(extension: Extension) -> Translation:
    folder, english = extension.folder(), catalogues()
    with blamed(extension.package), speaking(None):
        if not re.fullmatch(r"[a-z]{2}", extension.name) or extension.name == LANGUAGE:
            raise ValueError(say("code", name=extension.name))
        Speech(extension.name).plural(1)  # raises if CLDR does not know it
        faults: list[str] = []
        texts: dict[str, Any] = {}
        for file in sorted(folder.rglob("*.yml")):
            place = file.relative_to(folder).as_posix()
            if place not in english:
                faults.append(say("unknown_file", place=place))
                continue
            texts[place] = content_of(file)
            faults += (f"{place}: {one}" for one in _faults(content_of(english[place]), texts[place]))
        faults += _faults_of_cautions(content_of(english[CAUTIONS]), texts)
        if faults:
            more = len(faults) - MOST_TOLD
            told = "\n".join(faults[:MOST_TOLD])
            raise ValueError(told if more <= 0 else f"{told}\n{say('more', number=more)}")
        missing = sum(_missing(content_of(path), texts.get(place)) for place, path in english.items())
        return Translation(extension.name, str(extension.package), texts, missing)


def _faults(english: Any, own: Any, trail: str = "") -> Iterator[str]:
    """Yield what words lose of the English ones, or add to them."""
    if own is None:
        return
    where = trail or say("whole")
    if is_plural(english):
        forms = own if isinstance(own, dict) else {}
        if "other" not in forms or not set(forms) <= PLURALS:
            yield say("plural", where=where)
            return
        for form in forms.values():
            yield from _faults_of_wording(english["other"], form, where, optional=("{count}",))
    elif isinstance(english, dict):
        if not isinstance(own, dict):
            yield say("no_table", where=where)
            return
        for key, value in own.items():
            inner = f"{trail}.{key}" if trail else str(key)
            if key not in english:
                yield say("unknown_key", where=inner)
            elif key in NO_WORDS:
                yield say("no_words", where=inner)
            else:
                yield from _faults(english[key], value, inner)
    elif isinstance(english, list):
        if not isinstance(own, list) or len(own) != len(english):
            yield say("list", where=where, number=len(english))
            return
        for number, (one, other) in enumerate(zip(english, own, strict=True)):
            yield from _faults(one, other, f"{where}[{number}]")
    elif isinstance(english, str):
        yield from _faults_of_wording(english, own, where)
    else:
        yield say("no_words", where=where)


def _faults_of_wording(english: str, own: Any, where: str, optional: Collection[str] = ()) -> Iterator[str]:
    if not isinstance(own, str) or (english.strip() and not own.strip()):
        yield say("no_text", where=where)
        return
    try:
        wanted, there = _fields(english), _fields(own)
    except ValueError as error:
        yield say("broken", where=where, reason=error)
        return
    for field in sorted((wanted | there).keys()):
        if wanted[field] != there[field] and not (field in optional and there[field] <= wanted[field]):
            yield say("field", where=where, field=field)
    for pattern, key in ((_FIGURE, "figure"), (_TAG, "tag")):
        if _found(pattern, english) != _found(pattern, own):
            yield say(key, where=where, wanted=", ".join(sorted(_found(pattern, english))) or say("none"))


def _fields(wording: str) -> Counter[str]:
    """Return the `{names}` of a wording, each as it is written."""
    found: Counter[str] = Counter()
    for _, name, spec, conversion in Formatter().parse(wording):
        if name is not None:
            shown = name + (f"!{conversion}" if conversion else "") + (f":{spec}" if spec else "")
            found[f"{{{shown}}}"] += 1
    return found


def _found(pattern: re.Pattern[str], wording: str) -> Counter[str]:
    literal = "".join(text for text, *_ in Formatter().parse(wording)) if pattern is _FIGURE else wording
    return Counter(one.replace(",", ".") for one in pattern.findall(literal))


def _faults_of_cautions(english: Any, texts: dict[str, Any]) -> Iterator[str]:
    """Yield what the cautions of a language leave out: a part, a sentence, or the signal word."""
    own = texts.get(CAUTIONS)
    if not isinstance(own, dict) or not own:
        return
    for name, caution in own.items():
        if name not in english or not isinstance(caution, dict):
            continue
        for part in PARTS:
            wanted = len(_SENTENCE.findall(english[name][part]))
            if part not in caution:
                yield say("part", place=CAUTIONS, name=name, part=part)
            elif len(_SENTENCE.findall(str(caution[part]))) < wanted:
                yield say("sentences", place=CAUTIONS, name=name, part=part, number=wanted)
    place, key = SIGNALS
    signals = {caution["signal"] for caution in english.values()}
    words = texts.get(place)
    given = words.get(key) if isinstance(words, dict) else None
    if not isinstance(given, dict) or not signals <= set(given) or len(set(given.values())) < len(given):
        yield say("signals", place=place, words=", ".join(sorted(signals)))


def _missing(english: Any, own: Any) -> int:
    """Return how many wordings are left out."""
    if isinstance(english, dict) and not is_plural(english):
        mine = own if isinstance(own, dict) else {}
        return sum(_missing(value, mine.get(key)) for key, value in english.items() if key not in NO_WORDS)
    if isinstance(english, list):
        return 0 if own is not None else len([one for one in english if isinstance(one, str)])
    return 0 if own is not None or not isinstance(english, str | dict) else 1
