"""What fault-finding is made of: causes, questions with their answers, and the tree that asks them."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Reader = Literal["owner", "electrician"]
READERS: tuple[Reader, ...] = ("owner", "electrician")


@dataclass(frozen=True)
class Cause:
    """One thing that may be broken.

    Attributes
    ----------
    id : str
        Kind and part, such as ``fuse-blown galley-board.3``.
    kind : str
    part : str
        The cable, fuse, joint, piece or load.
    weight : float
        How likely it is, relative to the other causes.
    """

    id: str
    kind: str
    part: str
    weight: float


@dataclass(frozen=True)
class Question:
    """One thing to look at, measure or do.

    Attributes
    ----------
    id : str
        Kind and subjects, such as ``volts pump``.
    kind : str
    subjects : tuple of str
        What is looked at.
    effort : float
        Minutes that it takes the least skilled reader who may do it.
    reader : str
        The least skilled reader who may do it.
    answers : tuple of str
        In the order in which they are shown.
    cures : frozenset of str
        Causes that doing it mends, as a new fuse does.
    during : str
        What the van does meanwhile: the value of a `Trial`.
    expected_v : float or None
        What a meter shows there in this van when nothing is wrong. [V]
    limits_v : tuple of float
        Between the answers of a reading, rising. [V]
    """

    id: str
    kind: str
    subjects: tuple[str, ...]
    effort: float
    reader: Reader
    answers: tuple[str, ...]
    cures: frozenset[str] = frozenset()
    during: str = "in use"
    expected_v: float | None = None
    limits_v: tuple[float, ...] = ()


@dataclass(frozen=True)
class Problem:
    """A symptom, what may cause it, and what may be asked.

    Attributes
    ----------
    symptom : str
    causes : tuple of Cause
    questions : tuple of Question
    possible : mapping
        By question and cause, the answers that may be got; more than one where a meter's noise or the
        size of the fault decides.
    """

    symptom: str
    causes: tuple[Cause, ...]
    questions: tuple[Question, ...]
    possible: Mapping[tuple[str, str], frozenset[str]]


@dataclass(frozen=True)
class EndNode:
    """Nothing more to ask; the causes left, most likely first."""

    causes: tuple[Cause, ...]


@dataclass(frozen=True)
class QuestionNode:
    """A question, and where each of its answers leads."""

    question: Question
    branches: tuple[tuple[str, "TreeNode"], ...]


TreeNode = EndNode | QuestionNode
