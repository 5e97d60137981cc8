"""What the commands ask and answer."""

from vandoc.ground.messages import Messages

say = Messages("vandoc.doors.recording", "questions").say
