"""Messages for the drawings."""

from vandoc.ground.messages import Messages

WORDS = Messages("vandoc.pages.diagram", "drawings")
say = WORDS.say
