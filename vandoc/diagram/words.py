"""The words of the drawings."""

from vandoc.messages import Messages

WORDS = Messages("vandoc.diagram", "drawings")
say = WORDS.say
