"""The words of figures."""

from vandoc.messages import Messages

WORDS = Messages("vandoc.figures", "figures")
say = WORDS.say
