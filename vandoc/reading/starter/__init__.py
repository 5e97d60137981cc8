"""Starter van file of `vandoc new`: its questions, answers and text."""

from vandoc.reading.starter.questions import QUESTIONS, Answers, Question
from vandoc.reading.starter.writer import render, van_text

__all__ = ["QUESTIONS", "Answers", "Question", "render", "van_text"]
