"""Words in formatted figures."""

from vandoc.ground.messages import Messages

WORDS = Messages("vandoc.ground.figures", "figures")
say = WORDS.say
