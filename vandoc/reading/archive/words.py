"""Messages of the archive."""

from vandoc.ground.messages import Messages

say = Messages("vandoc.reading.archive", "archive").say
