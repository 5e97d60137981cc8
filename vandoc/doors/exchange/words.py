"""Messages about tables."""

from vandoc.ground.messages import Messages

say = Messages("vandoc.doors.exchange", "exchange").say
