"""A van file for tests that write into one, and sizes for others."""

from pathlib import Path

from vandoc.analysis import Van
from vandoc.doors.recording import to_write, with_sizes
from vandoc.judgement.proposals import proposals
from vandoc.reading import editing
from vandoc.reading.loader import load

SMALL = """\
# A small van, so that most of the time of a command goes into writing.
van:
  name: Tern
  nominal: 12 V
  size: {length: 5 m, width: 2 m, driver: left}
workshop: {name: Somebody}
places:
  box: {label: under the seat, at: {back: 1 m, across: 1 m}}
equipment:
  house: {kind: battery, name: battery, place: box, chemistry: AGM, capacity: 90 Ah}
  board: {kind: fuse-board, name: fuses, place: box, family: C, rows: 1, columns: 4}
loads:
  lamp: {name: lamp, place: box, power: 10 W} # as bright as it gets
cables:
  - {from: house.+, to: board.in, length: 1 m, area: 4 mm²}
circuits:
  - id: lamp
    fuse: {board: board, position: 1, rating: 3 A}
    cable: {length: 2 m, area: 1 mm²}
    load: lamp
    return: house.-
"""


def state_sizes(path: Path) -> None:
    """Write the proposed sizes into a van file, as it is when it is handed over."""
    items = proposals(Van.of(load(path))).items
    editing.save(with_sizes(editing.read(path), to_write(items)))
