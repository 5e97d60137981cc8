"""Messages of the commands and their help."""

from vandoc.ground.messages import Messages

tell = Messages("vandoc.doors.cli", "commands").say
