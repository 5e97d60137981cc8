"""What the commands ask and answer."""

from vandoc.messages import Messages

say = Messages("vandoc.recording", "questions").say
