"""The data of fault-finding: causes, questions with their answers, and the tree that asks them."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Reader = Literal["owner", "electrician"]
READERS: tuple[Reader, ...] = ("owner", "electrician")


@dataclass(frozen=True)
class Cause:
    """One possible fault of one part.

    Attributes
    ----------
    id : str
        Kind and part, such as ``fuse-blown galley-board.3``.
    kind : str
    part : str
        The cable, fuse, contact, item or load.
    weight : float
        Its likelihood relative to the other causes. [1]
    """

    id: str
    kind: str
    part: str
    weight: float


@dataclass(frozen=True)
class Question:
    """One thing to observe, measure or try.

    Attributes
    ----------
    id : str
        Kind and subjects, such as ``volts pump``.
    kind : str
    subjects : tuple of str
        The items or terminals concerned.
    effort : float
        The time that it takes the least skilled reader who may be asked. [min]
    reader : str
        The least skilled reader who may be asked.
    answers : tuple of str
        In the order in which they are shown.
    cures : frozenset of str
        Causes that it repairs, as a new fuse does; by id.
    during : str
        What the van does during the observation: the value of an `Activity`.
    expected_v : float or None
        The reading in this van without a fault; None if no voltage is measured. [V]
    limits_v : tuple of float
        The limits between the answers of a reading, ascending. [V]
    on : tuple of str
        The loads to switch on for it, by name.
    lamps : tuple of (str, float)
        The devices across whose terminals a proof lamp is clipped, with its power. [W]
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
    on: tuple[str, ...] = ()
    lamps: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True)
class Problem:
    """A symptom with its possible causes and the questions that tell them apart.

    Attributes
    ----------
    symptom : str
    causes : tuple of Cause
    questions : tuple of Question
    possible : mapping
        The possible answers by id of question and cause; several if the noise of a meter or the size of
        the fault decides.
    gates : Question or None
        What is asked before anything is measured; its answers are ends that are no fault of the wiring.
    discharged : tuple of Cause
        What the gates find if a battery is low.
    elsewhere : frozenset of str
        Causes that give a symptom of more devices than this one, by id; the gates ask for it.
    """

    symptom: str
    causes: tuple[Cause, ...]
    questions: tuple[Question, ...]
    possible: Mapping[tuple[str, str], frozenset[str]]
    gates: Question | None = None
    discharged: tuple[Cause, ...] = ()
    elsewhere: frozenset[str] = frozenset()


@dataclass(frozen=True)
class EndNode:
    """The end of a tree: the causes left, most likely first.

    Attributes
    ----------
    causes : tuple of Cause
        Empty if no single fault explains the answers, or if no fault was found.
    kind : str
        The answer of the gates that leads here; empty for every other end.
    """

    causes: tuple[Cause, ...]
    kind: str = ""


@dataclass(frozen=True)
class QuestionNode:
    """A question, with the node that each of its answers leads to."""

    question: Question
    branches: tuple[tuple[str, "TreeNode"], ...]


TreeNode = EndNode | QuestionNode
