"""Whether each positive conductor is protected against every source that can feed it, from both of its ends.

A conductor is exposed at an end when something can send more into it than it carries. That is allowed for a
short length, where all that follows is fuses small enough to protect it."""
