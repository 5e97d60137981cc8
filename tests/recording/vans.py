"""A van file for tests that write into one."""

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
    fuse: {board: board, position: 1}
    cable: {length: 2 m}
    load: lamp
    return: house.-
"""
