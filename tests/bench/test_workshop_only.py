"""What the workshop bought is in its own lists, and in nothing that anybody else gets."""

import csv
import io
from decimal import Decimal

import pytest
import yaml

import vandoc
from tests.vans.small import put_into
from vandoc.doors.build import read
from vandoc.pages.manual import lists
from vandoc.pages.manual.book import Book

SECRETS = {
    "maker": "Quernstone Marmalade Works",
    "type": "QMW-77/b",
    "serial": "SN0009917Z",
    "batch": "LOT4455X",
    "price": "612.37 EUR",
}
TRACES = ("quernstone", "marmalade", "qmw", "sn0009917z", "lot4455x", "612")


def bought(folder, **changes):
    """Write the small van with purchases at each item; return its file."""
    van_file = put_into(folder)
    data = yaml.safe_load(van_file.read_text("utf-8"))
    for thing in (*data["equipment"].values(), *data["loads"].values()):
        thing |= SECRETS | changes
    van_file.write_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), "utf-8")
    return van_file


@pytest.fixture(scope="module")
def van_file(tmp_path_factory):
    return bought(tmp_path_factory.mktemp("bought"))


def test_nothing_published_has_a_trace_of_it(van_file, tmp_path):
    """Every file of the manual: pages, search index, what the phone saves, card, lists, calendar."""
    folder = vandoc.build(read(van_file), out=tmp_path)
    files = [path for path in folder.rglob("*") if path.is_file()]
    names = {path.relative_to(folder).as_posix() for path in files}
    assert any(name.startswith("search/") for name in names)
    assert {"lists/parts.csv", "card.html"} <= names
    for path in files:
        content = path.read_bytes().lower()
        assert not [trace for trace in TRACES[:-1] if trace.encode() in content], path.name
        assert b"612.37" not in content
        assert b"612,37" not in content


def test_a_changed_serial_number_is_no_change_of_the_manual(van_file, tmp_path):
    """Not on the page of changes either."""
    from vandoc.judgement.history import compare

    other = bought(tmp_path, serial="SN-OTHER")
    assert not compare(read(van_file), read(other)).stated


def test_the_workshops_list_has_all_of_it_and_adds_up(van_file):
    van = read(van_file)
    files = lists.bench_files(Book(van))
    rows = list(csv.DictReader(io.StringIO(files["lists/parts.csv"].decode("utf-8-sig"), newline="")))
    fitted = [row for row in rows if row["serial"]]
    own = [piece for piece in van.system.equipment.values() if not piece.of_vehicle()]
    assert len(fitted) == len(own) + len(van.system.loads)
    for row in fitted:
        assert row["maker"] == SECRETS["maker"]
        assert (row["price"], row["currency"]) == ("612.37", "EUR")
    items = sum(piece.number() for piece in own) + sum(load.count for load in van.system.loads.values())
    (total,) = [row for row in rows if row["designation"] == "Total"]
    assert Decimal(total["total"]) == Decimal("612.37") * items
    assert total["currency"] == "EUR"


def test_each_currency_is_totalled_on_its_own(tmp_path):
    van_file = bought(tmp_path)
    data = yaml.safe_load(van_file.read_text("utf-8"))
    next(iter(data["loads"].values()))["price"] = "10 USD"
    van_file.write_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), "utf-8")
    text = lists.bench_files(Book(read(van_file)))["lists/parts.csv"].decode("utf-8-sig")
    totals = [line for line in text.splitlines() if line.startswith("Total")]
    assert sorted(line[-3:] for line in totals) == ["EUR", "USD"]


@pytest.mark.parametrize("trick", ['=HYPERLINK("x")', "@SUM(1)", "+1", "-1", "＝1"])
def test_no_purchase_is_read_as_a_formula(trick, tmp_path):
    van_file = bought(tmp_path, maker=trick, type=trick, serial=trick, batch=trick)
    text = lists.bench_files(Book(read(van_file)))["lists/parts.csv"].decode("utf-8-sig")
    for row in csv.reader(io.StringIO(text, newline="")):
        assert not any(cell[:1] in set("=+@-＝") for cell in row)
