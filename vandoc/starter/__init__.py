"""The van file that `vandoc new` writes to start from: questions, their answers, and the text they make."""

from vandoc.starter.questions import QUESTIONS, Answers, Question
from vandoc.starter.writer import render

__all__ = ["QUESTIONS", "Answers", "Question", "render"]
