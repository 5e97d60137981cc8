"""Starter van file of `vandoc new`: its questions, answers and text."""

from vandoc.reading.starter.questions import QUESTIONS, Answers, Question, refuse_together
from vandoc.reading.starter.writer import render, van_text

__all__ = ["QUESTIONS", "Answers", "Question", "refuse_together", "render", "van_text"]
