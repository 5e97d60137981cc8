"""The van file that `vandoc new` writes to start from: questions, their answers, and the text they make."""

from vandoc.reading.starter.questions import QUESTIONS, Answers, Question
from vandoc.reading.starter.writer import render

__all__ = ["QUESTIONS", "Answers", "Question", "render"]
