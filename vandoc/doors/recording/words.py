"""Messages of the recording commands."""

from vandoc.ground.messages import Messages

say = Messages("vandoc.doors.recording", "questions").say
