"""British spelling by Hunspell and its dictionary en_GB; `trade.txt` holds the trade's own words."""

import re
import shutil
import subprocess
from collections.abc import Iterable
from pathlib import Path

from tests.words.sentences import VALUE

TRADE = Path(__file__).with_name("trade.txt")
_NAME = re.compile(
    r"\S*[\w-]\.(?:com|org|net|py|ya?ml|md|csv|html|js|css|pdf|svg|png|j2|txt|ini|toml)\b\S*|https?:\S+|\S+@\S+|\S*[_/\\#=]\S*"
)
_WORD = re.compile(r"(?<![\w°µ])[^\W\d_ᵀ]+(?:['’][^\W\d_]+)*(?![\w²³])")


def program() -> str | None:
    """Where Hunspell is, or nothing if it or its British dictionary is missing."""
    found = shutil.which("hunspell")
    if found is None:
        return None
    listed = subprocess.run([found, "-D"], input="", capture_output=True, text=True, check=False)
    return found if "en_GB" in listed.stdout + listed.stderr else None


def words(text: str) -> set[str]:
    """The words of a text; file names, addresses, keys, code and what is written likeThis are none."""
    text = re.sub(rf"(?<=[a-z]){VALUE}|{VALUE}(?=[a-z])", " ", _NAME.sub(" ", text))
    found = (word.replace("’", "'").removesuffix("'s") for word in _WORD.findall(text))
    return {word for word in found if len(word) > 1 and not re.search(rf"[a-z][A-Z]|^[{VALUE}']+$", word)}


def misspelt(known: Iterable[str], *, hunspell: str, trade: bool = True) -> set[str]:
    """Those of some words that neither the dictionary nor the trade knows."""
    call = [hunspell, "-d", "en_GB", "-i", "utf-8", "-l"] + (["-p", str(TRADE)] if trade else [])
    run = subprocess.run(call, input="\n".join(sorted(known)), capture_output=True, text=True, check=True)
    return set(run.stdout.split())
